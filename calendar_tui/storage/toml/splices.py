"""Splices: lines of a text taken out and lines put in, everything else left byte for byte as it is.

The lines of a text are its pieces between "\\n": a "\\r" stays part of its line, and a text that ends in "\\n" has an
empty last line. So the pieces joined by "\\n" are the text again, exactly.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from calendar_tui.storage.problems import StorageError
from calendar_tui.storage.toml.lines import Lines

_CHANGED = "these lines are not as they were when the change was made"


@dataclass(frozen=True, slots=True)
class Splice:
    """At line `at` (from 0, counted in the text before any splice) the lines `old` give way to the lines `new`."""

    at: int
    old: tuple[str, ...]
    new: tuple[str, ...]


class Anchor(NamedTuple):
    """Where a splice stands that only takes lines away: so many lines below a line that stands once in the text."""

    splice: int
    line: str
    below: int


class Patch(NamedTuple):
    """The characters from start to end, offsets in the text, give way to `new`."""

    start: int
    end: int
    new: str


def apply_splices(text: str, splices: Sequence[Splice]) -> str:
    """The text with splices, in the order of their lines, carried out.

    Raises StorageError where the text does not hold the old lines of a splice.
    """
    pieces = text.split("\n")
    out: list[str] = []
    done = 0
    for splice in splices:
        end = splice.at + len(splice.old)
        if splice.at < done or tuple(pieces[splice.at : end]) != splice.old:
            raise StorageError(_CHANGED, splice.at + 1)
        out += pieces[done : splice.at]
        out += splice.new
        done = end
    return "\n".join(out + pieces[done:])


def splice_lines(pieces: list[str], splices: Sequence[Splice]) -> None:
    """Carry splices out on the lines of a text in place: quick where one text leads to the next many times over.

    Raises StorageError where the lines are not the old lines of a splice.
    """
    # From the last to the first, so that the lines of those to come keep their places.
    for splice in reversed(splices):
        here = slice(splice.at, splice.at + len(splice.old))
        if tuple(pieces[here]) != splice.old:
            raise StorageError(_CHANGED, splice.at + 1)
        pieces[here] = splice.new


def reverse(splices: Sequence[Splice]) -> list[Splice]:
    """The splices that take these back, exactly."""
    shift = 0
    back = []
    for splice in splices:
        back.append(Splice(splice.at + shift, splice.new, splice.old))
        shift += len(splice.new) - len(splice.old)
    return back


def anchors_of(text: str, splices: Sequence[Splice]) -> tuple[Anchor, ...]:
    """For each splice that only takes lines away, the nearest line above it that stands once in the text."""
    if all(splice.new for splice in splices):
        return ()
    pieces = text.split("\n")
    counts = Counter(pieces)
    anchors = []
    for n, splice in enumerate(splices):
        at = next((i for i in range(splice.at - 1, -1, -1) if counts[pieces[i]] == 1), None)
        if not splice.new and at is not None:
            anchors.append(Anchor(n, pieces[at], splice.at - at))
    return tuple(anchors)


def splices_of(lines: Lines, patches: Iterable[Patch]) -> list[Splice]:
    """The splices that carry out patches; patches at one place keep their order.

    Raises StorageError where two patches overlap.
    """
    splices = []
    for group in _by_lines(lines, sorted(patches, key=lambda patch: patch.start)):
        first, last = lines.line_at(group[0].start), lines.line_at(group[-1].end)
        old = lines.pieces[first : last + 1]
        new = _patched("\n".join(old), lines.starts[first], group).split("\n")
        splice = _trimmed(first, old, new)
        if splice.old != splice.new:
            splices.append(splice)
    return splices


def _by_lines(lines: Lines, patches: list[Patch]) -> list[list[Patch]]:
    """Patches that touch a common line, together."""
    groups: list[list[Patch]] = []
    for patch in patches:
        if groups and lines.line_at(patch.start) <= lines.line_at(groups[-1][-1].end):
            groups[-1].append(patch)
        else:
            groups.append([patch])
    return groups


def _patched(text: str, offset: int, patches: list[Patch]) -> str:
    out = []
    done = 0
    for patch in patches:
        if patch.start - offset < done:
            raise StorageError("two edits meet in the same words of the file")
        out += [text[done : patch.start - offset], patch.new]
        done = patch.end - offset
    return "".join([*out, text[done:]])


def _trimmed(at: int, old: list[str], new: list[str]) -> Splice:
    """The splice without the lines that old and new share at either end."""
    shared = min(len(old), len(new))
    head = next((n for n in range(shared) if old[n] != new[n]), shared)
    shared -= head
    tail = next((n for n in range(shared) if old[-1 - n] != new[-1 - n]), shared)
    return Splice(at + head, tuple(old[head : len(old) - tail]), tuple(new[head : len(new) - tail]))
