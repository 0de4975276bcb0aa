"""The table of cannabinoids: registry numbers by their check digits, factors by atomic masses.

Expected factors: ratio of molar masses from C 12.011, H 1.008, O 15.999 (computed). CAS numbers: THC, THCA, CBD,
CBDA and CBN read in AOAC's Cannabis Analytical Science Program, book of 2019; the others read in public tables of substances.
"""

from decimal import Decimal

import pytest

from calendar_tui.nature.analytes import ANALYTES, acid_factor, cas_check_digit

# neutral, CAS, acid, CAS, factor
ROWS = [
    ("THC", "1972-08-3", "THCA", "23978-85-0", "0.87723"),
    ("CBD", "13956-29-1", "CBDA", "1244-58-2", "0.87723"),
    ("CBG", "25654-31-3", "CBGA", "25555-57-1", "0.87792"),
    ("CBC", "20675-51-8", "CBCA", "185505-15-1", "0.87723"),
    ("CBN", "521-35-7", "CBNA", "2808-39-1", "0.87584"),
    ("THCV", "31262-37-0", "THCVA", "39986-26-0", "0.86681"),
    ("CBDV", "24274-48-4", "CBDVA", "31932-13-5", "0.86681"),
]


@pytest.mark.parametrize(("neutral", "cas", "acid", "acid_cas", "factor"), ROWS)
def test_the_rows_of_the_table(neutral, cas, acid, acid_cas, factor):
    assert (ANALYTES[neutral].cas, ANALYTES[neutral].acid, ANALYTES[acid].cas) == (cas, acid, acid_cas)
    assert acid_factor(neutral) == Decimal(factor)


@pytest.mark.parametrize("analyte", ANALYTES.values(), ids=ANALYTES)
def test_check_digits_of_the_registry_numbers(analyte):
    first, second, check = analyte.cas.split("-")
    assert cas_check_digit(first + second) == int(check)


def test_a_wrong_check_digit_is_seen():
    """Water is 7732-18-5 (value from memory)."""
    assert cas_check_digit("773218") == 5
    assert cas_check_digit("773281") != 5


def test_an_acid_is_its_neutral_form_with_carbon_dioxide():
    for analyte in ANALYTES.values():
        if analyte.acid:
            carbon, hydrogen, oxygen = analyte.formula
            assert ANALYTES[analyte.acid].formula == (carbon + 1, hydrogen, oxygen + 2)


def test_molar_masses_of_thc_and_its_acid():
    """314.469 / 358.478 = 0.87723 (computed)."""
    assert (ANALYTES["THC"].molar_mass, ANALYTES["THCA"].molar_mass) == (
        Decimal("314.469"),
        Decimal("358.478"),
    )


@pytest.mark.parametrize("name", ["THC8", "THCA", "CBX"])
def test_what_has_no_acid_has_no_factor(name):
    with pytest.raises(ValueError, match=r"no acid in the table; those that have one: THC, CBD"):
        acid_factor(name)


def test_delta_8_is_a_substance_of_its_own():
    assert (ANALYTES["THC8"].cas, ANALYTES["THC8"].acid) == ("5957-75-5", "")
