"""Three versions of a text made one by lines: how comments, order and spacing of both sides come together.

What the lines say as a season is not looked at here; whoever uses the text checks it.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from difflib import SequenceMatcher

from calendar_tui.storage.splices import Splice, apply_splices


def lines_changed(old: str, new: str) -> list[Splice]:
    """The splices that make a text another, with the lines that both share left out."""
    before, after = old.split("\n"), new.split("\n")
    shared = min(len(before), len(after))
    head = next((n for n in range(shared) if before[n] != after[n]), shared)
    shared -= head
    tail = next((n for n in range(shared) if before[-1 - n] != after[-1 - n]), shared)
    # What begins and ends alike is no matter for the slow search.
    inner = before[head : len(before) - tail], after[head : len(after) - tail]
    return [
        Splice(head + first, tuple(inner[0][first:last]), tuple(inner[1][start:end]))
        for tag, first, last, start, end in SequenceMatcher(None, *inner).get_opcodes()
        if tag != "equal"
    ]


def merged_lines(base: str, ours: str, theirs: str) -> str:
    """Base with the lines that ours changed and those that theirs changed elsewhere; where they meet, ours."""
    mine = lines_changed(base, ours)
    others = [splice for splice in lines_changed(base, theirs) if splice not in mine]
    apart = [splice for splice in others if not _meets(splice, mine)]
    # At one place, what is put in stands before what gives way, and ours before theirs.
    both = sorted([*mine, *apart], key=lambda splice: (splice.at, bool(splice.old)))
    return apply_splices(base, both)


def _meets(splice: Splice, others: Sequence[Splice]) -> bool:
    """Whether a splice takes lines that another takes too, or puts lines between those."""
    start, end = splice.at, splice.at + len(splice.old)
    return any(
        max(start, other.at) < min(end, other.at + len(other.old))
        or other.at < start == end < other.at + len(other.old)
        or start < other.at == other.at + len(other.old) < end
        for other in others
    )


def left_behind(base: str, theirs: str, result: str) -> tuple[str, ...]:
    """The lines with a comment that theirs has, and neither base nor the result."""
    fresh = Counter(theirs.split("\n"))
    fresh.subtract(base.split("\n"))
    there = set(result.split("\n"))
    return tuple(line.strip() for line, n in fresh.items() if n > 0 and "#" in line and line not in there)
