"""What can be planted in place of a wish that cannot: other proposals, with the flags that ask for each."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from typing import TYPE_CHECKING, Any

from calendar_tui.commands.command_input import emit, print_json, tell

if TYPE_CHECKING:
    from calendar_tui.handing_on.tables.json_rows import Row
    from calendar_tui.planning.staggering.ways import Way
    from calendar_tui.planning.staggering.wish import Wish

# The flag of each field of a wish in which another one differs, and how its value is written there.
_FLAGS: tuple[tuple[str, str, Callable[[Any], Sequence[str]]], ...] = (
    ("lights", "--place", tuple),
    ("count", "--cohorts", lambda count: (f"{count}",)),
    ("first", "--first-harvest", lambda day: (day.isoformat(),)),
    ("last", "--last-harvest", lambda day: (day.isoformat(),)),
    ("every_d", "--every", lambda days: (f"{days}d",)),
    ("plants", "--plants", lambda plants: (f"{plants}",)),
    ("grown_d", "--growth", lambda days: (f"{days}",)),
    ("within_d", "--within", lambda days: (f"{days}",)),
)


def print_refused(why: str, wish: Wish, ways: Sequence[Way], as_json: bool) -> None:
    """Why nothing can be proposed, on standard error, and what can be planted instead."""
    from calendar_tui.handing_on.words.plain_text import wrapped

    tell(line for part in why.split("; ") for line in wrapped(part, "  ", first="! "))
    if as_json:
        print_json({"refused": why.split("; "), "instead": ways_data(wish, ways), "saved": False})
    else:
        emit(instead_lines(wish, ways))


def instead_lines(wish: Wish, ways: Sequence[Way]) -> Iterator[str]:
    """Each way in a line or two, and below it how it is asked for. wish: as it was given, with the season's own names."""
    from calendar_tui.handing_on.words.plain_text import wrapped
    from calendar_tui.handing_on.words.stagger_text import INSTEAD, NO_WAY

    if not ways:
        yield from wrapped(NO_WAY, "")
        return
    yield f"{INSTEAD}:"
    for way in ways:
        flags, without = _flags(wish, way.wish)
        left_out = f", without {' '.join(without)}" if without else ""
        yield from wrapped(way.text, "    ", first="  - ")
        yield from wrapped(f"with {' '.join(flags)}{left_out}", "      ", first="    ")


def ways_data(wish: Wish, ways: Sequence[Way]) -> list[Row]:
    """Each way with its scheme. flags: to be given beside, or in place of, those of the wish; without: to be left out."""
    from calendar_tui.handing_on.tables.stagger_rows import scheme_data

    rows = []
    for way in ways:
        flags, without = _flags(wish, way.wish)
        rows.append({"text": way.text, "flags": flags, "without": without, **scheme_data(way.scheme)})
    return rows


def _flags(wish: Wish, other: Wish) -> tuple[list[str], list[str]]:
    """The flags, with their values, that make another wish of this one, and those that it does not have."""
    flags: list[str] = []
    without: list[str] = []
    for name, flag, words in _FLAGS:
        value = getattr(other, name)
        if value == getattr(wish, name):
            continue
        if value is None:
            without.append(flag)
        else:
            flags += [flag, *words(value)]
    return flags, without
