"""The immutable records of the rules: what an authority asks for, the lots that it judges, and its own samples of them."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Profile:
    """The limits and windows of a jurisdiction, as read on the date `as_of` in `source`: check with the authority.

    limit_percent: of `analyte`, with the acid times `acid_factor`, on `basis`. uncertainty: "subtracted" where a result less
    the laboratory's own uncertainty is judged. judged: "lot", or "variety" where the mean of all its samples is; decimals: to
    which that is rounded. harvest_within_d: days after the official sample by which the harvest is complete.
    sample_from_d: first day for it after flowering starts; sample_to_d: last one after flowering ends. first: in force from.
    """

    id: str
    name: str
    limit_percent: float
    as_of: dt.date
    source: str
    first: dt.date | None = None
    analyte: str = "total THC"
    acid_factor: float = 0.877
    basis: str = "dry"
    uncertainty: str = "ignored"
    judged: str = "lot"
    decimals: int | None = None
    sampling: str = "standard"
    harvest_within_d: int | None = None
    sample_from_d: int | None = None
    sample_to_d: int | None = None
    negligence_percent: float | None = None
    retention_y: int | None = None
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Lot:
    """One contiguous area of one variety, where a cohort is several. rules: its profile; harvest_by: the grower's last day."""

    id: str
    cohort: str
    part: str = ""
    blocks: tuple[str, ...] = ()
    area_m2: float | None = None
    plants: int | None = None
    rules: str = ""
    harvest_by: dt.date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Official:
    """A sample that the authority takes of a lot, or of a cohort that is one.

    date: for which it is asked or booked, or on which it was taken, as `state` has it. outcome: passed or failed, as the
    authority writes; after: what it allows then. total, uncertainty: as of a result.
    """

    id: str
    date: dt.date
    lot: str
    state: str = "asked"
    asked: dt.date | None = None
    who: str = ""
    laboratory: str = ""
    reported: dt.date | None = None
    total: str = ""
    uncertainty: str = ""
    uncertainty_of: str = "points"
    outcome: str = ""
    after: str = ""
    note: str = ""
