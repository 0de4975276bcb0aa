"""Records that a change took away, put back with their own lines, where the file was edited since.

The history has the lines, comments and all, and where they stood: so many lines below one that stands once. Edits by hand
move that line, so the records go to the nearest place between two others, and what the text then says is compared with
what it is to say.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import tomli

from calendar_tui.season.edits import Data, EditError, Outcome
from calendar_tui.season.merging import differences
from calendar_tui.storage.journal.lines import Step
from calendar_tui.storage.problems import StorageError
from calendar_tui.storage.toml.line_merge import lines_changed
from calendar_tui.storage.toml.splice import Spliced, spliced
from calendar_tui.storage.toml.values import data_in

# Where two records begin alike, the lines that went may begin so many lines further down than the record does.
_MOST_TURNED = 4


def with_lines_back(text: str, step: Step, expected: Outcome) -> Spliced | None:
    """The text with the records that a step took away in their own lines, and its other fields as they were.

    expected: what taking the step back makes of the text's data. None where the lines fit nowhere.
    """
    gone = [n for n, splice in enumerate(step.splices) if not splice.new]
    if not gone or not any(edit.op == "remove" for edit in step.edits):
        return None
    pieces = text.split("\n")
    places = sorted(
        (found for n in gone if (found := _place(pieces, step, n)) is not None), key=lambda p: p[0]
    )
    for at, lines in reversed(places):
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
    turned = next(((k, lines) for k, lines in _turned(splice.old) if _is_whole(lines)), None)
    if turned is None:
        return None
    k, lines = turned
    anchor = next((anchor for anchor in step.anchors if anchor.splice == n), None)
    if anchor is None or pieces.count(anchor.line) != 1:
        return _between(pieces, splice.at - k), lines
    above, below = pieces.index(anchor.line), anchor.below - k
    return above + 1 if below == 1 else _between(pieces, above + below), lines


def _between(pieces: Sequence[str], at: int) -> int:
    """The place under a blank line, or at either end, that is nearest to a line."""
    free = (i for i in range(len(pieces)) if i in (0, len(pieces) - 1) or not pieces[i - 1].strip())
    return min(free, key=lambda i: abs(i - at))


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
