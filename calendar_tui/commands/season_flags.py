"""A new season by flags alone: read as the form reads it, and all that is missing or wrong named at once."""

from __future__ import annotations

import argparse
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from calendar_tui.planning.starting.answers import POSITION, Reader, position_read
from calendar_tui.planning.starting.form import ANSWERS, FILE, ZONE, Filled, kind_of, read_form
from calendar_tui.planning.starting.typed_lines import KINDS
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.typed_position import LATITUDE, LONGITUDE

# The flag of each answer, by its row in the form.
_FLAGS: Mapping[str, str] = {row: f"--{key.replace('_', '-')}" for row, key in ANSWERS.items()}


def values_of_flags(args: argparse.Namespace, reader: Reader) -> tuple[dict[str, Any], str]:
    """The answers and `records`, by the keys of the season file; and what was proposed for the time zone, "" where it is
    given. Raises Refusal.
    """
    typed = dict(_typed(args))
    form, proposals = read_form(typed, reader)
    missing = [row for row in ANSWERS if form.notes[row].wrong and not typed.get(row)]
    if form.notes[POSITION].wrong and ZONE in missing:
        missing.remove(ZONE)  # a right one proposes it
    if wrong := list(_wrong(form, typed)):
        raise Refusal(
            "\n  ".join(["nothing made:", *wrong, *([f"give {flags_for(missing)}"] if missing else [])])
        )
    if missing == [ZONE]:
        raise Refusal(f"nothing made: give {flags_for(missing)}; {position_read(form.values)}")
    if missing:
        raise Refusal(f"nothing made: give {flags_for(missing)}")
    return form.values, "" if ZONE in typed else proposals[ZONE]


def flags_for(rows: Sequence[str]) -> str:
    """The flags that give the answers of these rows; not that of the time zone where the position would propose one."""
    *flags, last = [_FLAGS[row] for row in rows if row != ZONE or POSITION not in rows]
    return f"{', '.join(flags)} and {last}" if flags else last


def _typed(args: argparse.Namespace) -> Iterator[tuple[str, str]]:
    """What the flags give, by the rows of the form."""
    given = {**vars(args), POSITION: position_given(args)}
    yield from ((row, given[key]) for row, key in ANSWERS.items() if given[key])
    for kind in KINDS:
        yield from ((f"{kind} {n}", line) for n, line in enumerate(given[kind] or (), start=1))


def position_given(args: argparse.Namespace) -> str:
    """The position in one, "" where no flag gives any of it. Raises Refusal where it is given in both ways."""
    parts = [part for part in (getattr(args, LATITUDE), getattr(args, LONGITUDE)) if part]
    if args.position and parts:
        raise Refusal("give --position, or --latitude and --longitude, not both")
    return args.position or ", ".join(parts)


def _wrong(form: Filled, typed: Mapping[str, str]) -> Iterator[str]:
    """What is wrong with what was given; lines of records are read only once the dates are right."""
    dated = {"first_day", "last_day"} <= form.values.keys()
    for row, note in form.notes.items():
        if not note.wrong or not typed.get(row) or row == FILE:
            continue
        if row in ANSWERS:
            yield f"{_FLAGS[row]}: {note.text}"
        elif dated:
            yield f'--{kind_of(row)} "{typed[row]}": {note.text}'
