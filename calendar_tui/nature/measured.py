"""What a laboratory measured: an exact figure, or an interval where it is below what the method sees. All in exact decimals.

Amounts are % by mass (g in 100 g). Nothing below a limit is ever taken as nothing: it is from 0 up to the limit.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

_WHOLE = Decimal(100)


def without_noughts(figure: Decimal) -> Decimal:
    """The figure without noughts behind: 0.30 gives 0.3, and 10 stays 10, which `normalize` alone would write 1E+1."""
    return figure.normalize() + Decimal(0)


# How many % one of each unit is.
UNITS: Mapping[str, Decimal] = {
    "%": Decimal(1),
    "mg/g": Decimal("0.1"),
    "g/kg": Decimal("0.1"),
    "ppm": Decimal("0.0001"),
    "mg/kg": Decimal("0.0001"),
    "ug/g": Decimal("0.0001"),
}
# What an amount is a share of.
AS_RECEIVED, AS_TESTED, DRY, ABSOLUTELY_DRY = BASES = ("as received", "as tested", "dry", "absolutely dry")
# Of what a share of water is a share: of all that was received, or of the dry matter in it.
OF_TOTAL, OF_DRY = WATER_BASES = ("of total", "of dry matter")


@dataclass(frozen=True, slots=True)
class Interval:
    """From low to high, both possible, %; the same where a figure is exact. Raises ValueError for what no amount is."""

    low: Decimal
    high: Decimal

    def __post_init__(self) -> None:
        if not 0 <= self.low <= self.high:
            raise ValueError(f"{self.text}: an amount is 0 or more, the lower end first")

    @classmethod
    def exactly(cls, figure: Decimal) -> Interval:
        return cls(figure, figure)

    @classmethod
    def below(cls, limit: Decimal) -> Interval:
        """Below a limit of detection or quantification: from 0 up to it."""
        return cls(Decimal(0), limit)

    @property
    def is_exact(self) -> bool:
        return self.low == self.high

    @property
    def text(self) -> str:
        """ "0.31 %", "0.2631-0.3131 %"."""
        return f"{self.low:f} %" if self.is_exact else f"{self.low:f}-{self.high:f} %"

    def times(self, factor: Decimal) -> Interval:
        return Interval(self.low * factor, self.high * factor)

    def plus(self, other: Interval) -> Interval:
        return Interval(self.low + other.low, self.high + other.high)


def in_percent(figure: Decimal, unit: str) -> Decimal:
    """A figure in %. Raises ValueError for a unit that is not known, and for amounts that cannot be."""
    if unit not in UNITS:
        raise ValueError(f'unit "{unit}" is not known; write one of: {", ".join(UNITS)}')
    if not figure.is_finite() or figure < 0:
        raise ValueError(f"{figure} {unit} is no amount; it must be 0 or more")
    percent = figure * UNITS[unit]
    if percent > _WHOLE:
        raise ValueError(f"{figure} {unit} is over 100 %; look at the figure and at its unit")
    return percent


@dataclass(frozen=True, slots=True)
class Water:
    """share: water in the material, % ; of: one of WATER_BASES. Raises ValueError."""

    share: Decimal
    of: str

    def __post_init__(self) -> None:
        if self.of not in WATER_BASES:
            raise ValueError(
                f'water of {self.share} % is "{self.of}"; a laboratory gives it {" or ".join(WATER_BASES)}: look which'
            )
        if not self.share.is_finite() or self.share < 0 or (self.of == OF_TOTAL and self.share >= _WHOLE):
            raise ValueError(
                f"water is {self.share} % {self.of}; it must be from 0 to under 100 % of the total"
            )

    def to_dry(self, amount: Decimal) -> Decimal:
        """An amount of material with this water, of the dry matter alone."""
        if self.of == OF_DRY:
            return amount * (_WHOLE + self.share) / _WHOLE
        return amount * _WHOLE / (_WHOLE - self.share)


@dataclass(frozen=True, slots=True)
class Amount:
    """An amount in %, and of what: one of BASES. corrected: whether the water was taken out here."""

    percent: Interval
    basis: str
    corrected: bool = False

    def __post_init__(self) -> None:
        if self.basis not in BASES:
            raise ValueError(f'basis is "{self.basis}"; write one of: {", ".join(BASES)}')


def on_dry_matter(amount: Amount, water: Water, basis: str = DRY) -> Amount:
    """The amount of the dry matter alone, once. basis: DRY or ABSOLUTELY_DRY. Raises ValueError for a second time."""
    if basis not in (DRY, ABSOLUTELY_DRY):
        raise ValueError(f'basis is "{basis}"; water is taken out to {DRY} or {ABSOLUTELY_DRY}')
    if amount.corrected:
        raise ValueError(
            f"{amount.percent.text} is on dry weight here already; water is taken out once, so leave it as it is"
        )
    # A laboratory's "dry" may still hold some water, which the absolutely dry basis takes out; absolutely dry holds none.
    if amount.basis in (ABSOLUTELY_DRY, basis):
        raise ValueError(
            f"{amount.percent.text} is reported as {amount.basis}; its water is out already, so leave it as it is"
        )
    percent = Interval(water.to_dry(amount.percent.low), water.to_dry(amount.percent.high))
    return replace(amount, percent=percent, basis=basis, corrected=True)


def total(neutral: Interval, acid: Interval, factor: Decimal, also: Sequence[Interval] = ()) -> Interval:
    """neutral + factor x acid, and what else a rule counts, %, all of one basis. Both ends are kept where a part has two."""
    if not 0 < factor <= 1:
        raise ValueError(
            f"an acid factor of {factor}: it is the share of an acid's mass that stays, over 0 up to 1"
        )
    whole = neutral.plus(acid.times(factor))
    for other in also:
        whole = whole.plus(other)
    return whole


# Where a total in a laboratory's file and ours lie further apart, a factor, a basis or a value is not the same.
TOTAL_TOLERANCE = Decimal("0.005")


def total_gap(reported: Interval, worked_out: Interval) -> Decimal:
    """How far a reported total lies from ours, %; 0 where they have a value in common."""
    return max(worked_out.low - reported.high, reported.low - worked_out.high, Decimal(0))


def totals_disagree(reported: Interval, worked_out: Interval) -> bool:
    """Whether a reported total is to be told beside ours: further from it than 0.005 %."""
    return total_gap(reported, worked_out) > TOTAL_TOLERANCE
