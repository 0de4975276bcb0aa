"""Records that a change took away, put back with their own lines, where the file was edited since.

The history has the lines, comments and all, and where they stood: so many lines below one that stands once. Edits by hand
move that line, so the records go to the nearest place between two others, and what the text then says is compared with
what it is to say. Records that stand one to a line by now and went as blocks come back as lines, with their comments.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import tomli

from calendar_tui.season.edits import Data, Edited, EditError
from calendar_tui.season.kinds import FIRST_KEYS, IN_RECORDS
from calendar_tui.season.merging import differences
from calendar_tui.storage.journal.lines import Step
from calendar_tui.storage.problems import StorageError
from calendar_tui.storage.toml.into_rows import into_rows
from calendar_tui.storage.toml.line_merge import lines_changed
from calendar_tui.storage.toml.lines import locate
from calendar_tui.storage.toml.rows import Rows, rows_at
from calendar_tui.storage.toml.splice import Spliced, spliced
from calendar_tui.storage.toml.values import data_in

# Where two records begin alike, the lines that went may begin so many lines further down than the record does.
_MOST_TURNED = 4


def with_lines_back(text: str, step: Step, expected: Edited) -> Spliced | None:
    """The text with the records that a step took away in their own lines, and its other fields as they were.

    expected: what taking the step back makes of the text's data. None where the lines fit nowhere.
    """
    gone = [n for n, splice in enumerate(step.splices) if not splice.new]
    if not gone or not any(edit.op == "remove" for edit in step.edits):
        return None
    pieces = text.split("\n")
    places = [found for n in gone if (found := _place(pieces, step, n)) is not None]
    for at, lines in sorted(places, key=lambda p: p[0], reverse=True):
        pieces[at:at] = lines
    new = "\n".join(pieces)
    try:
        data = data_in(new)
        rest = spliced(new, data, differences(data, expected.data))
    except (tomli.TOMLDecodeError, EditError, StorageError):
        return None
    if differences(rest.data, expected.data) or _added(data, rest.data):
        return None
    return Spliced(rest.text, rest.data, lines_changed(text, rest.text), step.back, expected.back)


def _added(before: Data, after: Data) -> bool:
    """Whether a record had to be written anew: then its lines were not put back."""
    return any(edit.op == "add" for edit in differences(before, after))


def _place(pieces: Sequence[str], step: Step, n: int) -> tuple[int, Sequence[str]] | None:
    """Where the lines of a splice go, and these lines from the record's beginning on; None where they are no records."""
    splice = step.splices[n]
    turned = next(
        ((k, lines) for k, lines in _turned(splice.old) if _is_whole(lines) or _are_rows(lines)), None
    )
    if turned is None:
        return None
    k, lines = turned
    lists = _lists(pieces) if _is_listed(lines) else []
    if lists and _is_whole(lines):
        rows = _as_rows(lines)
        return _by_date(lists[0], rows), rows
    anchor = next((anchor for anchor in step.anchors if anchor.splice == n), None)
    if anchor is None or pieces.count(anchor.line) != 1:
        return _between(pieces, splice.at - k, lists), lines
    above, below = pieces.index(anchor.line), anchor.below - k
    return above + 1 if below == 1 else _between(pieces, above + below, lists), lines


def _lists(pieces: Sequence[str]) -> list[Rows]:
    """The lists of records that stand one to a line."""
    lines = locate("\n".join(pieces))
    ways = (lines.trail(place) for place in IN_RECORDS.values())
    return [rows_at(lines, way[-1].value) for _, way, rest in ways if way and not rest]


def _by_date(rows: Rows, lines: Sequence[str]) -> int:
    """The line of a list at which the first of some rows goes by its date."""
    day = _rows_in(lines)[0].get(FIRST_KEYS[-1])
    alone = list(rows.alone())
    listed = _rows_in(["\n".join(rows.lines.pieces[there.start : there.stop]) for there in alone])
    dated = [record.get(FIRST_KEYS[-1]) for record in listed]
    behind = next((i for i in range(len(alone) - 1, -1, -1) if str(dated[i]) <= str(day)), None)
    return alone[behind].stop if behind is not None else rows.lines.line_at(rows.opening) + 1


def _as_rows(lines: Sequence[str]) -> list[str]:
    """Records in blocks of their own, as lines of a list, comments and all."""
    text = "\n".join(lines)
    made = into_rows(text, data_in(text)).split("\n")
    return made[next(i for i, line in enumerate(made) if line.endswith("[")) + 1 : made.index("]")]


def _is_listed(lines: Sequence[str]) -> bool:
    """Whether lines are records of a kind that stands one to a line, in such lines or in blocks."""
    return _are_rows(lines) or (
        _is_whole(lines) and tomli.loads("\n".join(lines)).keys() <= IN_RECORDS.keys()
    )


def _are_rows(lines: Sequence[str]) -> bool:
    """Whether lines are records of a list, with their comments above."""
    return bool(lines) and lines[-1].lstrip().startswith("{") and bool(_rows_in(lines))


def _rows_in(lines: Sequence[str]) -> list[Data]:
    """The records in lines of a list; none where they are no such lines."""
    try:
        rows = tomli.loads("\n".join(["k = [", *lines, "]"]))["k"]
    except tomli.TOMLDecodeError:
        return []
    return rows if all(isinstance(record, dict) for record in rows) else []


def _between(pieces: Sequence[str], at: int, lists: Sequence[Rows] = ()) -> int:
    """The place under a blank line, or at either end, that is nearest to a line; with lists, the one under a row."""
    rows = [there.stop for of_kind in lists for there in of_kind.alone()]
    blank = (i for i in range(len(pieces)) if i in (0, len(pieces) - 1) or not pieces[i - 1].strip())
    return min(rows or blank, key=lambda i: abs(i - at))


def _turned(lines: Sequence[str]) -> Iterator[tuple[int, Sequence[str]]]:
    """The lines, and the same with the last one, two, ... of them in front."""
    for k in range(min(_MOST_TURNED, len(lines)) + 1):
        yield k, [*lines[len(lines) - k :], *lines[: len(lines) - k]]


def _is_whole(lines: Sequence[str]) -> bool:
    """Whether lines are records by themselves, with a header first and their comments."""
    first = next((line.strip() for line in lines if line.strip() and not line.lstrip().startswith("#")), "")
    try:
        return first.startswith("[") and bool(tomli.loads("\n".join(lines)))
    except tomli.TOMLDecodeError:
        return False
