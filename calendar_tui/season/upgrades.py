"""The forms a season file has had: an older one is brought to the form that this program writes, as edits on its data."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Mapping
from typing import TYPE_CHECKING, Any

from calendar_tui.season.kinds import by_kind
from calendar_tui.season.problems import Problem

if TYPE_CHECKING:
    from calendar_tui.season.edits import Data, Edit

FORMAT = 3
# Keys that have another name since format 2, by the table they stand in.
RENAMED: Mapping[str, Mapping[str, str]] = {"lamps": {"from": "on", "to": "off"}}


def form_of(data: Mapping[str, Any]) -> int | None:
    """The format of a season's data; None where it names none that ever was or can come."""
    form = data.get("format")
    return form if type(form) is int and form > 0 else None


def is_older(data: Mapping[str, Any]) -> bool:
    return (form_of(data) or FORMAT) < FORMAT


def is_newer(data: Mapping[str, Any]) -> bool:
    return (form_of(data) or FORMAT) > FORMAT


def unwritten_form(data: Mapping[str, Any]) -> tuple[Problem, ...]:
    """Why data of this form are not saved; nothing where they have the form that this program writes."""
    if is_newer(data):
        return (newer(data),)
    if is_older(data):
        right = "calendar-tui upgrade brings it there, and keeps the old file"
        return (Problem(("format",), f"this file is {_forms(data)}; {right}"),)
    return ()


def newer(data: Mapping[str, Any]) -> Problem:
    """What is said of data whose format is newer than the program."""
    return Problem(("format",), f"this file is {_forms(data)}; get a newer program")


def form_note(data: Mapping[str, Any]) -> str:
    """A sentence about a form that is not the one this program writes; "" where it is."""
    if is_newer(data):
        return f"{newer(data).message}. It is read as far as that goes, and nothing is saved"
    if is_older(data):
        return f"{unwritten_form(data)[0].message}. It is read as format {FORMAT}"
    return ""


def form_heading(data: Mapping[str, Any]) -> str:
    """The same in a few words, to stand beside a season's name."""
    if is_newer(data):
        return f"format {form_of(data)}, read-only"
    return f"format {form_of(data)}, upgraded in memory" if is_older(data) else ""


def _forms(data: Mapping[str, Any]) -> str:
    # Python does not write out a number of thousands of digits.
    form = form_of(data) or 0
    return f"format {form if form < 10**9 else 'over 999999999'}; this program writes {FORMAT}"


def upgraded(data: Mapping[str, Any], to: int = FORMAT) -> Data:
    """The data in a newer form, each kind under its own name; as they are where they have it already."""
    edits = upgrade_edits(data, to)
    if not edits:
        return by_kind(data)
    from calendar_tui.season.edits import apply_edits

    return apply_edits(dict(data), edits)


def upgrade_edits(data: Mapping[str, Any], to: int = FORMAT) -> tuple[Edit, ...]:
    """The edits that bring the data to a newer form, one form after another; none where they have it already.

    Records that no edit can name, since they have no id or share it, are left as they are: they are problems anyway.
    """
    forms = range(form_of(data) or to, to)
    if not forms:
        return ()
    from calendar_tui.season.edits import TOP, Edit, apply_edits

    edits: list[Edit] = []
    now = dict(data)
    for form in forms:
        step = (*UPGRADES[form](now), Edit("set", TOP, (), ("format",), form + 1))
        now = apply_edits(now, step)
        edits += step
    return tuple(edits)


def upgrade_problems(data: Mapping[str, Any]) -> Iterator[Problem]:
    """What stands in the way of an upgrade: a key of the grower's own where the newer form has one of its own."""
    if form_of(data) != 1:
        return
    for i, place in _places_with_lamps(data):
        for old, new in RENAMED["lamps"].items():
            if {old, new} <= place["lamps"].keys():
                yield Problem(
                    ("place", i, "lamps", new),
                    f'lamps have "{old}", which is "{new}" since format 2, and a key "{new}" besides; keep one of the two',
                )


def _to_2(data: Data) -> Iterator[Edit]:
    """The clock of lamps has the keys that the clock of a programme has."""
    from calendar_tui.season.edits import Edit

    places = _places_with_lamps(data)
    named = Counter(str(place.get("id")) for place in data["place"]) if places else Counter[str]()
    for _, place in places:
        ident = place.get("id")
        if not isinstance(ident, str) or named[ident] > 1:
            continue
        for old, new in RENAMED["lamps"].items():
            if old in place["lamps"] and new not in place["lamps"]:
                yield Edit("unset", "place", (ident,), ("lamps", old))
                yield Edit("set", "place", (ident,), ("lamps", new), place["lamps"][old])


def _places_with_lamps(data: Mapping[str, Any]) -> list[tuple[int, Mapping[str, Any]]]:
    """The places that have a table of lamps, with their positions; none where places are not records."""
    places = data.get("place")
    if not isinstance(places, list) or not all(isinstance(place, dict) for place in places):
        return []
    return [(i, place) for i, place in enumerate(places) if isinstance(place.get("lamps"), dict)]


def _to_3(_: Data) -> Iterator[Edit]:
    """Tasks stand one to a line, which the data do not show: see `storage/toml/into_rows.py`."""
    yield from ()


# By the form it starts from: the edits that lead to the next one, its number aside.
UPGRADES: Mapping[int, Callable[[Data], Iterator[Edit]]] = {1: _to_2, 2: _to_3}
