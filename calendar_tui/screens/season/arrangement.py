"""How the cohorts are arranged on screen, from where a person begins and to where it is left."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from datetime import date
from typing import NamedTuple

from calendar_tui.planning.arranging import WAYS, Row
from calendar_tui.screens.season.standing import Standing


class Arrangement(NamedTuple):
    """way: a key of WAYS. words: what cohorts are found by. folded: names of groups that are a row each."""

    way: str = next(iter(WAYS))
    words: str = ""
    folded: frozenset[str] = frozenset()


AS_OPENED = Arrangement()


def arrangement_of(standing: Standing) -> Arrangement:
    """How the cohorts are arranged where one begins."""
    way = standing.arranged if standing.arranged in WAYS else AS_OPENED.way
    return Arrangement(way, standing.words, frozenset(standing.folded))


def row_of(rows: Sequence[Row], cohort: str) -> int:
    """The number of the row of a cohort, or of the folded group that it is in; else of the first."""
    return next((n for n, row in enumerate(rows) if _holds(row, cohort)), 0)


def row_like(rows: Sequence[Row], before: Row | None, at: int) -> int:
    """The number of the row that is as one before; else of one of its group, or near where that was: `at`."""
    keys, groups = [row.key for row in rows], [row.group.name for row in rows]
    if before is not None and before.key in keys:
        return keys.index(before.key)
    if before is not None and before.group.name in groups:
        return groups.index(before.group.name)
    return min(at, max(len(rows) - 1, 0))


def is_shown(rows: Sequence[Row], cohort: str) -> bool:
    """Whether a row is that of a cohort, or of the folded group that it is in."""
    return any(_holds(row, cohort) for row in rows)


def _holds(row: Row, cohort: str) -> bool:
    return row.cohort == cohort or (not row.cohort and cohort in row.group.cohorts)


def meant(cohorts: Iterable[str], marked: Collection[str], selected: str | None) -> tuple[str, ...]:
    """The cohorts that are marked, the selected one first; the selected one where none is.

    selected: None where there is none, or a folded group is.
    """
    in_order = [name for name in cohorts if name in marked] or [
        name for name in (selected,) if name is not None
    ]
    return tuple(sorted(in_order, key=lambda name: name != selected))


def standing_at(arranged: Arrangement, row: Row | None, cursor: date | None, zoom: str) -> Standing:
    """Where one stands with this row selected. cursor: None for today."""
    cohort = "" if row is None else row.cohort or row.group.cohorts[0]
    return Standing("", cursor, cohort, zoom, arranged.way, arranged.words, tuple(sorted(arranged.folded)))
