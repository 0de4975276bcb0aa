"""The immutable records of samples: who finds the figures, which bags are planned, the bags, and what was found in them."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import NamedTuple

from calendar_tui.nature.canopy import POSITIONS, TOP
from calendar_tui.season.records import Span

# Working days by post, from memory: a placeholder for each laboratory's own.
TURNAROUND_D = Span(3, 5, 7)


@dataclass(frozen=True, slots=True, kw_only=True)
class Laboratory:
    """Who finds the figures. takes: the days of the week on which it takes bags in; turnaround_d: from there to the report.

    price: money for a bag. From `unit` on: how its files are written, as `laboratory_columns.LaboratoryColumns` has it.
    """

    id: str
    name: str = ""
    takes: tuple[str, ...] = ("mon", "tue", "wed", "thu", "fri")
    turnaround_d: Span = TURNAROUND_D
    price: float | None = None
    unit: str = ""
    basis: str = ""
    water_is: str = ""
    separator: str = ""
    decimal: str = ""
    date_order: str = ""
    uncertainty: str = ""
    dash: str = ""
    columns: Mapping[str, str] = field(default_factory=dict)
    analytes: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Sampling:
    """A plan of bags. cohorts: none for all. by: what one bag stands for: each lot, each block or plot of it, or all of them pooled.

    plants: in a bag; begins: the stage or date of the first bags, `offset_d` days later; then every `every_d` days to the
    last pass, on `weekday` where one is given. tagged: the plants that are cut each time.
    """

    id: str
    cohorts: tuple[str, ...] = ()
    positions: tuple[str, ...] = POSITIONS
    by: str = "lot"
    blocks: tuple[str, ...] = ()
    plants: int = 5
    begins: str | dt.date = "flowering"
    offset_d: int = 0
    every_d: int = 7
    weekday: str = ""
    laboratory: str = ""
    tagged: tuple[str, ...] = ()


class BagOf(NamedTuple):
    """What a bag is of, whatever its day. lot, block, plot: "" for no one in particular; plot: its id."""

    cohort: str
    lot: str
    block: str
    plot: str
    position: str

    @property
    def unit(self) -> tuple[str, str, str, str]:
        """Whose plants are in it, whatever their part."""
        return self[:4]


@dataclass(frozen=True, slots=True, kw_only=True)
class Sample:
    """A bag, cut or to be cut on `date`. lot: where its cohort has several; again: the bag that it is cut in place of.

    plot: of a trial, by its id; "" where a bag stands for more than one.

    state: planned, taken, sent or lost; a bag with a result needs no other word. cut_cm: length of what is cut.
    """

    id: str
    date: dt.date
    cohort: str
    position: str = TOP
    lot: str = ""
    block: str = ""
    plot: str = ""
    plants: int | None = None
    cut_cm: float | None = None
    time: dt.time | None = None
    who: str = ""
    laboratory: str = ""
    state: str = "taken"
    sent: dt.date | None = None
    again: str = ""
    note: str = ""

    @property
    def of(self) -> BagOf:
        return BagOf(self.cohort, self.lot, self.block, self.plot, self.position)

    @property
    def is_cut(self) -> bool:
        """Whether it was cut and not lost, so that a laboratory has tested it or will."""
        return self.state not in ("lost", "planned")


@dataclass(frozen=True, slots=True, kw_only=True)
class Result:
    """What a laboratory found in a bag, as it wrote it: `found` by analyte, "0.05", "<0.02" or "ND".

    date: of the report; collected, received, tested: days as it has them; method: by which it was tested. water: in %, as text, `water_is` what; corrected for once, where `basis` is "as received".
    uncertainty: of the total, `uncertainty_is` in percentage points or in % of it. lod, loq: of each analyte, its limits of
    detection and of quantification, in `unit`; limits: the one under which it tells nothing, where it is not said which; uncertainties: of each analyte, "0.03 abs" in `unit` or "10 % rel". total: the total THC that it worked out itself. aside: why the figures are not used; "" where they are.
    """

    id: str
    date: dt.date
    sample: str
    laboratory: str = ""
    report: str = ""
    method: str = ""
    collected: dt.date | None = None
    received: dt.date | None = None
    tested: dt.date | None = None
    found: Mapping[str, str] = field(default_factory=dict)
    lod: Mapping[str, str] = field(default_factory=dict)
    loq: Mapping[str, str] = field(default_factory=dict)
    limits: Mapping[str, str] = field(default_factory=dict)
    uncertainties: Mapping[str, str] = field(default_factory=dict)
    unit: str = "%"
    basis: str = "dry"
    water: str = ""
    water_is: str = "of total"
    total: str = ""
    uncertainty: str = ""
    uncertainty_is: str = "absolute"
    aside: str = ""
    note: str = ""
