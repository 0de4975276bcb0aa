"""Means that share a letter do not differ: the insert-absorb way (Piepho 2004, J. Comput. Graph. Stat. 13:456)."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from string import ascii_letters


def letters(means: Sequence[float], different: Iterable[tuple[int, int]]) -> tuple[str, ...]:
    """The letters of each mean, a for the highest. different: the pairs that differ, by their numbers."""
    order = sorted(range(len(means)), key=lambda n: (-means[n], n))
    groups = [frozenset(range(len(means)))]
    for one, other in different:
        split = [
            half
            for group in groups
            for half in ((group - {one}, group - {other}) if {one, other} <= group else (group,))
        ]
        groups = _absorbed(split)
    rank = {n: place for place, n in enumerate(order)}
    groups.sort(key=lambda group: sorted(rank[n] for n in group))
    return tuple(
        "".join(_letter(n) for n, group in enumerate(groups) if m in group) for m in range(len(means))
    )


def _absorbed(groups: Sequence[frozenset[int]]) -> list[frozenset[int]]:
    """Without those that stand whole in another."""
    kept: list[frozenset[int]] = []
    for group in sorted(groups, key=len, reverse=True):
        if not any(group <= other for other in kept):
            kept.append(group)
    return kept


def _letter(n: int) -> str:
    return ascii_letters[n] if n < len(ascii_letters) else f"({n + 1})"
