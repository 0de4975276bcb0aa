"""The sets of figures that records leave: which of the four figures of the response go together."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import NamedTuple

from calendar_tui.season.records import FigureSet, Span, Variety
from calendar_tui.season.wording import hours_text

# The figures that a set has, by the keys of a variety, in its order; day lengths are kept to the minute, days to the tenth.
IN_SETS = ("critical_day", "full_response_day", "juvenile_d", "inductive_days")
STEPS = {"critical_day": 60, "full_response_day": 60, "juvenile_d": 10, "inductive_days": 10}


class Apart(NamedTuple):
    """A figure that is not that of the sets, and what theirs is."""

    key: str
    span: Span


def figures_of_sets(sets: Sequence[FigureSet]) -> dict[str, Span]:
    """The 10th, 50th and 90th percentile of each figure over equally likely sets, as a variety keeps them.

    Each set stands at the middle of its share (Hazen 1914). Raises ValueError where there are none.
    """
    if not sets:
        raise ValueError("there are no sets to take figures of")
    return {
        key: _span(sorted(column), STEPS[key])
        for key, column in zip(IN_SETS, zip(*sets, strict=True), strict=True)
    }


def _span(ranked: Sequence[float], steps: int) -> Span:
    early, likely, late = (_at(ranked, len(ranked) * share - 0.5) for share in (0.1, 0.5, 0.9))
    return Span(*(round(value * steps) / steps for value in (early, likely, late)))


def _at(ranked: Sequence[float], rank: float) -> float:
    held = min(max(rank, 0.0), len(ranked) - 1)
    below, part = ranked[int(held)], held % 1
    return below + (ranked[int(held) + 1] - below) * part if part else below


def apart_from_sets(variety: Variety) -> list[Apart]:
    """The figures of a variety that are not those of its sets."""
    if not variety.sets:
        return []
    return [
        Apart(key, span)
        for key, span in figures_of_sets(variety.sets).items()
        if any(abs(a - b) > 0.51 / STEPS[key] for a, b in zip(span, getattr(variety, key), strict=True))
    ]


def loses_sets(variety: Variety, keys: Iterable[str]) -> bool:
    """Whether sets of a variety would contradict it once these figures are others."""
    return bool(variety.sets) and not set(IN_SETS).isdisjoint(keys)


def set_problem(variety: Variety) -> str:
    """Why the sets of a variety cannot be its own, and what would be right; or ""."""
    apart = apart_from_sets(variety)
    if not apart:
        return ""
    texts = [
        f"{key} {_span_text(key, getattr(variety, key))}, by the sets {_span_text(key, span)}"
        for key, span in apart
    ]
    return (
        f"its sets contradict its figures: {'; '.join(texts)}. Sets come from records: take the line sets away, or give "
        "these figures as the sets have them"
    )


def _span_text(key: str, span: Span) -> str:
    texts = [hours_text(n) if STEPS[key] == 60 else f"{n:g}" for n in span]
    return texts[0] if len(set(texts)) == 1 else f"[{', '.join(texts)}]"
