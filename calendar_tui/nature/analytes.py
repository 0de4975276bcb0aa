"""The cannabinoids that a laboratory reports: registry numbers, formulas, and how much neutral form an acid gives.

Atomic masses C 12.011, H 1.008, O 15.999 (IUPAC abridged; value from memory). CAS numbers of THC, THCA, CBD, CBDA and CBN as AOAC
has them (Cannabis Analytical Science Program, book of 2019), the others as public tables of substances have them; for CBCA some
have 20408-52-0.
"""

from __future__ import annotations

from collections.abc import Mapping
from decimal import ROUND_HALF_UP, Decimal
from typing import NamedTuple

_CARBON, _HYDROGEN, _OXYGEN = Decimal("12.011"), Decimal("1.008"), Decimal("15.999")
# The atomic masses have five digits, and so has what is worked out from them.
_FACTOR_PLACES = Decimal("0.00001")


class Analyte(NamedTuple):
    """cas: its number in the CAS registry; formula: atoms of C, H, O; acid: the id of its acid, "" where it has none here."""

    id: str
    name: str
    cas: str
    formula: tuple[int, int, int]
    acid: str = ""

    @property
    def molar_mass(self) -> Decimal:
        """g/mol."""
        carbon, hydrogen, oxygen = self.formula
        return carbon * _CARBON + hydrogen * _HYDROGEN + oxygen * _OXYGEN


_NEUTRAL, _ACID = (21, 30, 2), (22, 30, 4)
_TABLE = (
    Analyte("THC", "delta-9-THC", "1972-08-3", _NEUTRAL, "THCA"),
    Analyte("THCA", "THCA-A", "23978-85-0", _ACID),
    Analyte("CBD", "CBD", "13956-29-1", _NEUTRAL, "CBDA"),
    Analyte("CBDA", "CBDA", "1244-58-2", _ACID),
    Analyte("CBG", "CBG", "25654-31-3", (21, 32, 2), "CBGA"),
    Analyte("CBGA", "CBGA", "25555-57-1", (22, 32, 4)),
    Analyte("CBC", "CBC", "20675-51-8", _NEUTRAL, "CBCA"),
    Analyte("CBCA", "CBCA", "185505-15-1", _ACID),
    Analyte("CBN", "CBN", "521-35-7", (21, 26, 2), "CBNA"),
    Analyte("CBNA", "CBNA", "2808-39-1", (22, 26, 4)),
    Analyte("THCV", "THCV", "31262-37-0", (19, 26, 2), "THCVA"),
    Analyte("THCVA", "THCVA", "39986-26-0", (20, 26, 4)),
    Analyte("CBDV", "CBDV", "24274-48-4", (19, 26, 2), "CBDVA"),
    Analyte("CBDVA", "CBDVA", "31932-13-5", (20, 26, 4)),
    # Not in "total delta-9", and a tetrahydrocannabinol all the same: whether it counts is a matter of the rule.
    Analyte("THC8", "delta-8-THC", "5957-75-5", _NEUTRAL),
)
ANALYTES: Mapping[str, Analyte] = {analyte.id: analyte for analyte in _TABLE}


def acid_factor(neutral: str) -> Decimal:
    """How much of a neutral cannabinoid one part of its acid gives, by mass: the ratio of molar masses, five places.

    A rule may set another, such as 0.877. Raises ValueError for a substance without an acid here.
    """
    analyte = ANALYTES.get(neutral)
    if analyte is None or not analyte.acid:
        known = ", ".join(one.id for one in _TABLE if one.acid)
        raise ValueError(f"{neutral} has no acid in the table; those that have one: {known}")
    ratio = analyte.molar_mass / ANALYTES[analyte.acid].molar_mass
    return ratio.quantize(_FACTOR_PLACES, ROUND_HALF_UP)


def cas_check_digit(digits: str) -> int:
    """The last digit of a CAS number from those before it: each times its place from the right, summed, modulo 10."""
    return sum(place * int(digit) for place, digit in enumerate(reversed(digits), start=1)) % 10
