"""Three versions of a text made one by lines: how comments, order and spacing of both sides come together.

What the lines say as a season is not looked at here; whoever uses the text checks it.
"""

from __future__ import annotations

import re
from bisect import bisect_left, bisect_right
from collections import Counter
from collections.abc import Iterator, Sequence
from difflib import SequenceMatcher

from calendar_tui.storage.toml.splices import Splice, apply_splices

# Above so many pairs of lines, a piece of text without a line of its own in it is taken as changed throughout.
_MOST_COMPARED = 250_000
# What stands before a comment: anything but #, and text in quotes, whatever is in it.
_BEFORE_COMMENT = re.compile(r"""(?:[^"'#]|"(?:\\.|[^"\\])*"|'[^']*')*+""")


def lines_changed(old: str, new: str) -> list[Splice]:
    """The splices that make a text another, with the lines that both share left out."""
    before, after = old.split("\n"), new.split("\n")
    splices: list[Splice] = []
    at = (0, 0)
    for anchor in [*_anchors(before, after), (len(before), len(after))]:
        splices += _between(before, after, at, anchor)
        at = anchor[0] + 1, anchor[1] + 1
    return splices


def _anchors(before: Sequence[str], after: Sequence[str]) -> list[tuple[int, int]]:
    """Lines that stand once in each text, such as ids, and in one order: most of them, by their places in both.

    They cut a large text into small pieces, as a search through all of it takes long.
    """
    places = _once(after)
    # The longest run of pairs that rises in both texts, by patience sorting: n log n, where a comparison of all lines
    # with all would take n x n.
    pairs = [(i, places[line]) for line, i in _once(before).items() if line in places]
    ends: list[int] = []  # the lowest place in `after` at which a run of so many anchors can end
    runs: list[tuple[int, int, int]] = []  # each anchor, and the last one of the run before it
    last: list[int] = []
    for i, j in pairs:
        length = bisect_left(ends, j)
        ends[length : length + 1] = [j]
        runs.append((i, j, last[length - 1] if length else -1))
        last[length : length + 1] = [len(runs) - 1]
    anchors: list[tuple[int, int]] = []
    step = last[-1] if last else -1
    while step >= 0:
        i, j, step = runs[step]
        anchors.append((i, j))
    return anchors[::-1]


def _once(lines: Sequence[str]) -> dict[str, int]:
    """The place of each line that stands once."""
    counts = Counter(lines)
    return {line: i for i, line in enumerate(lines) if counts[line] == 1}


def _between(
    before: Sequence[str], after: Sequence[str], start: tuple[int, int], end: tuple[int, int]
) -> Iterator[Splice]:
    """The splices between two places in both texts."""
    old, new = before[start[0] : end[0]], after[start[1] : end[1]]
    if old == new:
        return
    if len(old) * len(new) > _MOST_COMPARED:
        yield Splice(start[0], tuple(old), tuple(new))
        return
    for tag, a, b, c, d in SequenceMatcher(None, old, new, autojunk=False).get_opcodes():
        if tag != "equal":
            yield Splice(start[0] + a, tuple(old[a:b]), tuple(new[c:d]))


def merged_lines(base: str, ours: str, theirs: str) -> str:
    """Base with the lines that ours changed and those that theirs changed elsewhere; where they meet, ours."""
    mine = lines_changed(base, ours)
    starts = [splice.at for splice in mine]
    known = set(mine)
    others = [splice for splice in lines_changed(base, theirs) if splice not in known]
    # Splices of one side never overlap and are in order, so bisection finds the few that can meet.
    # Those of ours that can meet one of theirs: the last that begins before it, and those that begin in it.
    apart = [
        s
        for s in others
        if not any(
            _meet(s, mine[i])
            for i in range(max(bisect_left(starts, s.at) - 1, 0), bisect_right(starts, s.at + len(s.old)))
        )
    ]
    # At one place, what is put in stands before what gives way, and ours before theirs.
    both = sorted([*mine, *apart], key=lambda splice: (splice.at, bool(splice.old)))
    return apply_splices(base, both)


def _meet(one: Splice, other: Splice) -> bool:
    """Whether two splices take the same line, or one puts lines between those that the other takes."""
    ends = one.at + len(one.old), other.at + len(other.old)
    if one.old and other.old:
        return max(one.at, other.at) < min(ends)
    return other.at < one.at < ends[1] or one.at < other.at < ends[0]


def left_behind(base: str, theirs: str, result: str) -> tuple[str, ...]:
    """The lines of theirs with a comment that neither base nor the result has, whatever stands before it."""
    fresh = Counter(_comments(theirs))
    fresh.subtract(_comments(base))
    there = set(_comments(result))
    lost = {comment for comment, n in fresh.items() if n > 0 and comment not in there}
    return tuple(dict.fromkeys(line.strip() for line in theirs.split("\n") if _comment(line) in lost))


def _comments(text: str) -> list[str]:
    return [comment for line in text.split("\n") if (comment := _comment(line))]


def _comment(line: str) -> str:
    """The comment of a line, from its # on; "" where it has none. A # in quotes begins none."""
    comment = _BEFORE_COMMENT.match(line)
    rest = line[comment.end() :].rstrip() if comment else ""
    return rest if rest.startswith("#") else ""
