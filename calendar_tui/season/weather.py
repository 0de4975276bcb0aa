"""The immutable records of a season's weather: how its heat is counted, and the days of its station."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date


@dataclass(frozen=True, slots=True, kw_only=True)
class StationColumns:
    """The names of a station file's columns."""

    date: str = "date"
    low: str = "low"
    high: str = "high"


@dataclass(frozen=True, slots=True, kw_only=True)
class Station:
    """A weather station's daily file beside the season file; unit: "C" or "F", of its temperatures."""

    file: str
    unit: str
    columns: StationColumns = field(default_factory=StationColumns)
    date_form: str = "2026-01-31"


@dataclass(frozen=True, slots=True, kw_only=True)
class StationDays:
    """A station's days from `first` on, in C; nan where the file has none. notes: sentences about what it lacks."""

    first: date
    low_c: tuple[float, ...]
    high_c: tuple[float, ...]
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Heat:
    """How temperature sums are made, where heat is switched on.

    base_c, upper_c: between them development runs; reference_c: the mean temperature at which a variety's figures in
    days hold.
    """

    method: str = "single-sine"
    base_c: float = 1.0
    upper_c: float = 29.0
    reference_c: float = 20.0
