"""How the cohorts are arranged on screen, from where a person begins and to where it is left."""

from __future__ import annotations

from collections.abc import Sequence
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
    held = [row.cohort == cohort or (not row.cohort and cohort in row.group.cohorts) for row in rows]
    return held.index(True) if True in held else 0


def standing_at(arranged: Arrangement, row: Row | None, cursor: date | None, zoom: str) -> Standing:
    """Where one stands with this row selected. cursor: None for today."""
    cohort = "" if row is None else row.cohort or row.group.cohorts[0]
    return Standing("", cursor, cohort, zoom, arranged.way, arranged.words, tuple(sorted(arranged.folded)))
