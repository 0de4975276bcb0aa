"""Totals that a laboratory's file gives, beside those that its parts come to."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from decimal import Decimal
from typing import NamedTuple

from calendar_tui.nature.analytes import ANALYTES
from calendar_tui.nature.measured import Interval, total, total_gap, totals_disagree
from calendar_tui.season.analyte_names import TOTAL_CBD, TOTAL_THC
from calendar_tui.season.laboratory_rows import LaboratoryRow
from calendar_tui.season.readers import shown
from calendar_tui.season.sample_ids import plain_id

_NEUTRAL: Mapping[str, str] = {TOTAL_THC: "THC", TOTAL_CBD: "CBD"}


class OtherTotal(NamedTuple):
    """A total of the file that is not the one of its parts. gap: %."""

    line: int
    sample: str
    analyte: str
    reported: Interval
    ours: Interval
    gap: Decimal

    @property
    def text(self) -> str:
        return (
            f"{self.analyte} of {shown(self.sample)} is {self.reported.text} in the file and {self.ours.text} by its parts; "
            "look at the factor, at the basis of each, and at what was not tested"
        )


def other_totals(rows: Iterable[LaboratoryRow], factor: Callable[[str], Decimal]) -> tuple[OtherTotal, ...]:
    """The totals in the rows of a file that lie over 0.005 % from ours, of samples whose two parts are in it too.

    factor: by which an acid is counted under the rules of a bag, which is given by its plain id.
    """
    every = list(rows)
    by_part = {(plain_id(row.sample), row.report, row.analyte): row.percent for row in every}
    others = []
    for row in every:
        neutral = _NEUTRAL.get(row.analyte, "")
        if not neutral or row.percent is None:
            continue
        parts = [
            by_part.get((plain_id(row.sample), row.report, part))
            for part in (neutral, ANALYTES[neutral].acid)
        ]
        if parts[0] is None or parts[1] is None:
            continue
        ours = total(parts[0], parts[1], factor(plain_id(row.sample)))
        if totals_disagree(row.percent, ours):
            gap = total_gap(row.percent, ours)
            others.append(OtherTotal(row.line, row.sample, row.analyte, row.percent, ours, gap))
    return tuple(others)
