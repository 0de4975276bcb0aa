"""What a person can set for themselves: the table of settings, and what the data of one's file of them come to."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any, NamedTuple

from calendar_tui.season.language_code import language_code
from calendar_tui.season.readers import Unreadable, choices, one_of, shown, text, yes_no
from calendar_tui.season.units_in_use import CLOCKS, SYSTEMS, clock_face

# A table of tables: by the group of keys, by the name of what a key does, the key.
KEYS = "keys"
Keys = Mapping[str, Mapping[str, str]]
THEMES = ("terminal", "dark", "light")
VIEWS = ("left", "season", "today", "week", "load")
# The order of day and month in typed dates, as these take it, by what a person sets.
DATE_ORDERS: Mapping[str, str] = {"": "", "dmy": "day-first", "mdy": "month-first"}
# The day on which a week begins, counted from Monday as 0, by its name.
WEEK_BEGINS: Mapping[str, int] = {"monday": 0, "saturday": 5, "sunday": 6}


class Setting(NamedTuple):
    """first: what holds where it is not set. takes, what: in words, what can be set and what it does. read: the value
    of what stands in the file; raises Unreadable, whose sentence goes on behind the name.
    """

    first: Any
    takes: str
    what: str
    read: Callable[[Any], Any]


class Wrong(NamedTuple):
    """Where in the data something is wrong, and what would be right."""

    path: tuple[str, ...]
    message: str


def _whole_path(value: Any) -> str:
    typed = text(value)
    try:
        path = Path(typed).expanduser()
    except RuntimeError:  # somebody whom the system does not know
        path = Path(typed)
    if typed and not path.is_absolute():
        raise Unreadable(f'is {shown(value)}; write the whole path, such as "~/seasons/mine.toml"')
    return str(path) if typed else ""


def _named(names: Mapping[str, Any]) -> Setting:
    """A setting that takes these names."""
    listed = [name for name in names if name]
    return Setting(next(iter(names)), ", ".join(listed), "", one_of(*listed))


SETTINGS: Mapping[str, Setting] = {
    "season": Setting(
        "",
        "the whole path of a season file",
        "the season that is meant where none is named and the folder does not hold just one",
        _whole_path,
    ),
    "view": _named(dict.fromkeys(VIEWS))._replace(
        what="the view that the full screen opens with; left: where you left it"
    ),
    "role": Setting("", "a role, such as crew", "whose work the week on screen shows first", text),
    "theme": _named(dict.fromkeys(THEMES))._replace(
        what="the colours of the full screen: the terminal's own, or fixed ones for a dark or a light background"
    ),
    "mouse": Setting(True, "true, false", "whether the mouse works in the full screen", yes_no),
    "week_begins": _named(WEEK_BEGINS)._replace(
        what="the day with which a week begins where its days are shown: the week, the lamps, the time axis, the printed sheet"
    ),
    "language": Setting(
        "",
        "the code of a language, such as es or en",
        "the language in which a crew's work is shown to you, before that of the season and of the computer",
        language_code,
    ),
    "units": _named(dict.fromkeys(("", *SYSTEMS)))._replace(
        what="the units in which quantities are shown and typed: metric, or feet, acres, pounds and degrees F; not set, the season's"
    ),
    "clock": _named(dict.fromkeys(("", *CLOCKS)))._replace(
        what="by which clock times are shown, of 24 or of 12 hours; not set, the season's", read=clock_face
    ),
    "dates": _named(DATE_ORDERS)._replace(
        what="the order of numbers in a typed date such as 12/8: day or month first; not set, you are asked"
    ),
}


class Settings(NamedTuple):
    """What holds, by the names of the table as they are written; keys: those asked for, which may not fit."""

    season: str = ""
    view: str = "left"
    role: str = ""
    theme: str = "terminal"
    mouse: bool = True
    week_begins: str = "monday"
    language: str = ""
    units: str = ""
    clock: str = ""
    dates: str = ""
    keys: Keys = {}  # noqa: RUF012

    @property
    def date_order(self) -> str:
        """As `typed_date` takes it."""
        return DATE_ORDERS[self.dates]

    @property
    def first_weekday(self) -> int:
        """Counted from Monday as 0."""
        return WEEK_BEGINS[self.week_begins]


def read_settings(data: Mapping[str, Any]) -> tuple[Settings, tuple[Wrong, ...]]:
    """The settings in the data of a file. What is wrong is named, and counts as not set."""
    values: dict[str, Any] = {}
    wrong: list[Wrong] = []
    for name, value in data.items():
        try:
            if name == KEYS:
                values[KEYS] = _keys(value, wrong)
            else:
                values[name] = setting_of(name).read(value)
        except Unreadable as why:
            wrong.append(Wrong((name,), f"{name} {why}"))
    return Settings(**values), tuple(wrong)


def setting_of(name: str) -> Setting:
    """The setting of a name. Raises Unreadable."""
    if name not in SETTINGS:
        raise Unreadable(f"is no setting{choices(name, (*SETTINGS, KEYS), 'Settings')}")
    return SETTINGS[name]


def _keys(value: Any, wrong: list[Wrong]) -> Keys:
    """The keys that are texts in tables of their groups, as they have to be; the others are named in `wrong`."""
    if not isinstance(value, dict):
        raise Unreadable(f"is {shown(value)}; write [keys.season], and below it a line for each key")
    keys: dict[str, dict[str, str]] = {}
    for group, named in value.items():
        if not isinstance(named, dict):
            right = f"write [keys.{group}], and below it a line for each key"
            wrong.append(Wrong((KEYS, group), f"{group} is {shown(named)}; {right}"))
            continue
        for name, key in named.items():
            try:
                keys.setdefault(group, {})[name] = text(key)
            except Unreadable:
                right = f'write a key in quotes, such as {name} = "F5"'
                wrong.append(Wrong((KEYS, group, name), f"{name} is {shown(key)}; {right}"))
    return keys
