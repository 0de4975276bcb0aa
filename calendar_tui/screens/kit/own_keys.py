"""Keys as a person has them: others than the table's, where these fit, by the groups of the table and what a key does."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import NamedTuple

from calendar_tui.screens.kit.every_key import EVEN_TYPING, KEYS
from calendar_tui.screens.kit.key import Key, id_of
from calendar_tui.screens.kit.together import ANYWHERE, EVERYWHERE, TOGETHER
from calendar_tui.season.readers import choices, shown

# Textual's names of keys that have another on a keyboard, by what people write, in small letters.
_NAMED = {
    "esc": "escape",
    "pgup": "pageup",
    "pgdn": "pagedown",
    "del": "delete",
    "ins": "insert",
    "return": "enter",
}
_KNOWN = {
    "escape",
    "enter",
    "tab",
    "space",
    "backspace",
    "delete",
    "insert",
    "home",
    "end",
    "pageup",
    "pagedown",
}
_KNOWN |= {"up", "down", "left", "right", *(f"f{n}" for n in range(1, 25))}
_SHOWN = {"escape": "Esc", "pageup": "PgUp", "pagedown": "PgDn", "delete": "Del", "insert": "Ins"}
_WITH = re.compile(r"((?:(?:ctrl|alt|shift)\+)*)(.+)", re.IGNORECASE | re.DOTALL)
# Actions whose arguments tell all, or that others share a word with.
_PLAINER = {"act": "", "open_about": "open"}
# Names in the settings that were others before, by group and name.
_FORMERLY = {
    ("farm", "add"): ("records", "add"),
    ("farm", "change"): ("records", "change"),
    ("farm", "copy"): ("records", "copy-record"),
    ("farm", "take-out"): ("records", "take-out"),
    ("chores", "add-chore"): ("records", "add"),
    ("chores", "open-chore"): ("records", "change"),
    ("chores", "remove-chore"): ("records", "take-out"),
    ("varieties", "add-variety"): ("records", "add"),
    ("value", "change"): ("records", "change"),
}
# By the program's or a terminal's own meaning.
_TAKEN = {"ctrl+c": "Ctrl+C ends other programs, and here explains how to leave"}


class WrongKey(NamedTuple):
    """The place in the settings, and what is wrong and would be right."""

    path: tuple[str, ...]
    message: str


class Own(NamedTuple):
    """keys: of the table by the ids of their bindings, as they are now. wrong: what was asked for and stays as it was."""

    keys: Mapping[str, Key]
    wrong: tuple[WrongKey, ...] = ()


def name_of(key: Key) -> str:
    """What a key does, as a name in the settings: open-week, zoom-on, zoom-back; "" where another part binds it."""
    word, _, inside = key.action.removeprefix("app.").rstrip(")").partition("(")
    parts = [
        _PLAINER.get(word, word),
        *(_argument(part) for part in inside.replace("'", "").split(",") if part),
    ]
    return "-".join(filter(None, parts)).replace("_", "-").casefold()


def _argument(part: str) -> str:
    number = re.fullmatch(r"(-?)(\d+)", part.strip())
    if number is None:
        return part.strip()
    way = "back" if number[1] else "on"
    return way if number[2] == "1" else f"{way}-{number[2]}"


def named(group: str) -> Mapping[str, Key]:
    """The keys of a group that can be another, by their names; of two that do the same the first."""
    keys: dict[str, Key] = {}
    for key in KEYS[group]:
        if key.action:
            keys.setdefault(name_of(key), key)
    return keys


def own_keys(wanted: Mapping[str, Mapping[str, str]]) -> Own:
    """The keys that are asked for, by group and name. One that is none, or would do two things in a view, stays as it was."""
    keys: dict[str, Key] = {}
    paths: dict[str, tuple[str, ...]] = {}
    wrong: list[WrongKey] = []
    for group, by_name in wanted.items():
        for name, typed in by_name.items():
            path = ("keys", group, name)
            if why := _now_named(group, name) or _unfit(group, name, typed):
                wrong.append(WrongKey(path, why))
            else:
                key, (names, shown_as) = named(group)[name], typed_key(typed) or ("", "")
                keys[id_of(group, key)] = key._replace(names=names, shown=shown_as)
                paths[id_of(group, key)] = path
    while clash := next(_clashes(keys), None):
        own, why = clash
        del keys[own]
        wrong.append(WrongKey(paths[own], why))
    return Own(keys, tuple(wrong))


def _now_named(group: str, name: str) -> str:
    """Under which name a key is set now that had another before; "" for any other."""
    now = _FORMERLY.get((group, name))
    return f"keys.{group}.{name} is now keys.{'.'.join(now)}; set that in its place" if now else ""


def _unfit(group: str, name: str, typed: str) -> str:
    """Why a key cannot be asked for; "" where it can."""
    can_be = [g for g in KEYS if named(g)]
    if group not in can_be:
        return f"keys.{group} is no group of keys{choices(group, can_be, 'Groups')}"
    if name not in named(group):
        return f"{name} is nothing that a key of {group} does{choices(name, named(group), 'It can be')}"
    key, _ = typed_key(typed) or ("", "")
    if not key:
        return f'{name} is {shown(typed)}; write a key, such as "W", "F5", "Ctrl+W", "Space" or "PgUp"'
    if key in _TAKEN:
        return f"{name} is {shown(typed)}, but {_TAKEN[key]}; choose another key"
    if named(group)[name].names in EVEN_TYPING and not re.match(r"ctrl\+|alt\+|f\d", key):
        return f'{name} acts also while you type, and is {shown(typed)}; choose one such as "Ctrl+W" or "F5"'
    return ""


def _clashes(keys: Mapping[str, Key]) -> Iterator[tuple[str, str]]:
    """The ids of own keys that do a second thing in a view, and what to do about each."""
    for together in _views():
        first: dict[str, tuple[str, str]] = {}
        # The table's come first, so that of two the own one is named.
        for own, group, key in sorted(_bound(together, keys), key=lambda entry: entry[0] in keys):
            for name in key.names.split(","):
                other, where = first.setdefault(name, (own, f"{name_of(key)} of {group}"))
                if other != own and own in keys:
                    both = f"{name_of(key)} of {group} and {where}, which are there together"
                    yield own, f"{key.shown} would be {both}; choose another key for one of them"


def _views() -> Iterator[tuple[str, ...]]:
    """The groups of each view; one that stands in no row is with those of any view alone."""
    rows = [*TOGETHER, *((g, *ANYWHERE) for g in KEYS if not any(g in row for row in TOGETHER))]
    for row in rows:
        yield (*row, *EVERYWHERE)


def _bound(groups: tuple[str, ...], keys: Mapping[str, Key]) -> Iterator[tuple[str, str, Key]]:
    for group in dict.fromkeys(groups):
        for key in KEYS[group]:
            if key.action:
                own = id_of(group, key)
                yield own, group, keys.get(own, key)


def typed_key(typed: str) -> tuple[str, str] | None:
    """A key as people write it: Textual's name of it, and how it is shown; None where it is none."""
    parts = _WITH.fullmatch(typed if len(typed) == 1 else typed.strip())
    if parts is None:
        return None
    with_it = [word for word in ("ctrl", "alt", "shift") if f"{word}+" in parts[1].casefold()]
    word = parts[2].casefold() if with_it or len(parts[2]) > 1 else parts[2]
    name = _character(word) if len(word) == 1 else _NAMED.get(word, word)
    if not name or (len(word) > 1 and name not in _KNOWN) or (len(word) == 1 and with_it == ["shift"]):
        return None
    shown_word = word.upper() if len(word) == 1 and with_it else word if len(word) == 1 else ""
    shown_as = "+".join([*map(str.title, with_it), shown_word or _SHOWN.get(name, name.title())])
    return "+".join([*with_it, name]), shown_as


def _character(char: str) -> str:
    """Textual's name of a key with a character on it; "" for one that is not seen."""
    if char == " ":
        return "space"
    if char.isalnum() or not char.isprintable():
        return char if char.isalnum() else ""
    from unicodedata import name

    from textual.keys import KEY_NAME_REPLACEMENTS

    named_so = name(char, "").lower().replace("-", "_").replace(" ", "_")
    return KEY_NAME_REPLACEMENTS.get(named_so, named_so)
