"""The legal arithmetic from a laboratory's file or a typed line, through what is kept, to what is judged. Each row names its source."""

from __future__ import annotations

import json
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from resulted_season import file, one_line, result, results, season
from sampled_season import TODAY
from small_season import run

from tests.season_data import data_of

__all__ = ["season"]

LOTS = """
[[lot]]
id = "A1-n"
cohort = "A1"
[[lot]]
id = "A1-m"
cohort = "A1"
[[lot]]
id = "A1-s"
cohort = "A1"
"""
BAGS = {"26A1TA": "A1-n", "K7Q2RY": "A1-m", "A1T07Q": "A1-s"}


def rules(season: Path, name: str, **more: str) -> None:
    """The shipped rules taken in, with what they leave open set as an authority would."""
    assert run("rules", season, name, "--yes", today=TODAY).status == 0
    text = season.read_text()
    block = text.index(f'id = "{name}"\n', text.index("[[profile]]"))
    lines = "".join(f"{key} = {value}\n" for key, value in more.items())
    kept = "\n".join(line for line in text[block:].split("\n") if line.split(" = ")[0] not in more)
    season.write_text(text[:block] + kept.replace("\n", f"\n{lines}", 1))
    ran = run("check", season, today=TODAY)
    assert ran.status == 0, ran.said


def taken_in(season: Path, words: str, way: str) -> dict[str, Any]:
    """What is judged of a bag whose figures are typed, or stand in a file with a column each. words: "THC 0.05 THCA 0.30"."""
    names, figures = words.split()[::2], words.split()[1::2]
    if way == "typed":
        ran = result(season, "26A1TA", *words.split(), "--yes")
    else:
        header = ",".join(f"{name} (%)" for name in names)
        path = file(season, f"Sample,{header}\n26A1TA,{','.join(figures)}\n")
        ran = result(season, "--from", path, "--yes")
    assert ran.status == 0, ran.said
    (row,) = json.loads(result(season, "--json").out)["results"]
    assert isinstance(row, dict)
    return row


@pytest.mark.parametrize("way", ["typed", "file"])
@pytest.mark.parametrize(
    ("words", "low", "high", "verdict"),
    [
        # THC "<0.05", THCA 0.30 / 0.28: both ends kept, the first straddles 0.30 (computed).
        ("THC <0.05 THCA 0.30", "0.2631", "0.3131", "unclear"),
        ("THC <0.05 THCA 0.28", "0.24556", "0.29556", "within"),
        # 0.877 x 0.34208 = 0.30000416: with no THC 0.34207 is the most (formula; 0.3 % of 7 CFR 990.1, read).
        ("THC 0 THCA 0.34207", "0.29999539", "0.29999539", "within"),
        # 0.05 + 0.877 x 0.28506 = 0.29999762 (formula).
        ("THC 0.05 THCA 0.28506", "0.29999762", "0.29999762", "within"),
    ],
)
def test_totals_by_their_parts(season: Path, way: str, words: str, low: str, high: str, verdict: str) -> None:
    rules(season, "us")
    row = taken_in(season, words, way)
    assert {key: Decimal(text) for key, text in row["total_thc"].items()} == {
        "low": Decimal(low),
        "high": Decimal(high),
    }
    assert row["verdict"] == verdict


LONG = "Sample,Analyte,Result,Unit,MU\n"


@pytest.mark.parametrize(
    ("total", "uncertainty", "kind", "verdict"),
    [
        ("0.35", "0.06", "absolute", "within"),  # 7 CFR 990.1, read: 0.29-0.41
        ("0.37", "0.06", "absolute", "over"),  # by the same rule: 0.31-0.43
        ("0.33", "0.03", "absolute", "within"),  # by the same rule: low end exactly 0.30
        ("0.33", "10", "relative", "within"),  # 0.033: low end 0.297 (computed)
        ("0.3131", "0.04", "absolute", "within"),  # 0.2731-0.3531 (formula)
        ("0.30001", "0", "absolute", "over"),
    ],
)
def test_uncertainties_of_a_file_are_kept_with_their_kind_and_taken_off(
    season: Path, total: str, uncertainty: str, kind: str, verdict: str
) -> None:
    rules(season, "us")
    text = f"{LONG}26A1TA,THC,{total},%,\n26A1TA,THCA,0,%,\n26A1TA,Total THC,{total},%,{uncertainty}\n"
    ran = result(season, "--from", file(season, text), "--uncertainty", kind, "--yes")
    assert ran.status == 0, ran.said
    (kept,) = results(season)
    assert (kept["uncertainty"], kept["uncertainty_is"]) == (uncertainty, kind)
    (row,) = json.loads(result(season, "--json").out)["results"]
    assert row["verdict"] == verdict


def test_an_uncertainty_of_10_without_its_kind_is_asked_with_both_readings(season: Path) -> None:
    """10 % of 0.33 is 0.033; read as absolute it would be nonsense (computed)."""
    rules(season, "us")
    text = f"{LONG}26A1TA,THC,0.33,%,\n26A1TA,THCA,0,%,\n26A1TA,Total THC,0.33,%,10\n"
    ran = result(season, "--from", file(season, text), "--yes")
    assert ran.status == 2
    assert (
        'is "10", which may be 10 % of the result or 10 % more and less; write "10 % rel" or "10 abs"'
        in one_line(ran)
    )
    assert results(season) == []
    assert (
        result(season, "26A1TA", "THC", "0.33", "THCA", "0", "uncertainty", "10 % rel", "--yes").status == 0
    )
    (row,) = json.loads(result(season, "--json").out)["results"]
    assert row["verdict"] == "within"


@pytest.mark.parametrize(
    ("words", "negligent"),
    [
        # Over the limit, not negligent / negligent; no uncertainty in the line as read (7 CFR 990.29, computed).
        ("THC 0.97 THCA 0 uncertainty 0.05", False),
        ("THC 1.04 THCA 0 uncertainty 0.03", True),
    ],
)
def test_the_negligence_line_takes_no_uncertainty_off(season: Path, words: str, negligent: bool) -> None:
    rules(season, "us")
    assert result(season, "26A1TA", *words.split(), "--yes").status == 0
    (row,) = json.loads(result(season, "--json").out)["results"]
    assert row["verdict"] == "over"
    assert ("over the negligence line" in one_line(result(season))) == negligent


@pytest.mark.parametrize("way", ["typed", "file"])
@pytest.mark.parametrize(
    ("found", "water_is", "dry"),
    [
        # As received THC 0.03, THCA 0.24 with 10 % water of total / of dry matter (computed).
        ("0.03,0.24", "of total", "0.2672"),
        ("0.03,0.24", "of dry matter", "0.264528"),
        # 0.27 % as received: 0.300 / 0.297 (algebra).
        ("0.27,0", "of total", "0.3"),
        ("0.27,0", "of dry matter", "0.297"),
    ],
)
def test_water_is_taken_out_once(season: Path, way: str, found: str, water_is: str, dry: str) -> None:
    rules(season, "us")
    if way == "file":
        path = file(season, f"Sample,THC (%),THCA (%),Moisture (%)\n26A1TA,{found},10\n")
        ran = result(season, "--from", path, "--basis", "as received", "--water-is", water_is, "--yes")
    else:
        thc, thca = found.split(",")
        words = ("THC", thc, "THCA", thca, "basis", "as received", "water", "10 %", "water is", water_is)
        ran = result(season, "26A1TA", *words, "--yes")
    assert ran.status == 0, ran.said
    (kept,) = results(season)
    assert (kept["basis"], kept["water"], kept.get("water_is", "of total")) == ("as received", "10", water_is)
    (row,) = json.loads(result(season, "--json").out)["results"]
    assert Decimal(row["total_thc"]["low"]) == Decimal(dry)
    assert (row["basis"], row["verdict"]) == ("dry", "within")


def test_what_is_dry_already_is_not_corrected_a_second_time(season: Path) -> None:
    """0.2672 corrected twice by mistake would be 0.2969 (computed): refused as it is typed, left alone in a laboratory's file."""
    words = ("THC", "0.2672", "THCA", "0", "basis", "dry", "water", "10")
    ran = result(season, "26A1TA", *words, "--yes")
    assert ran.status == 2
    assert "their water is out already" in ran.err
    path = file(season, "Sample,THC (%),THCA (%),Moisture (%)\n26A1TA,0.2672,0,10\n")
    assert result(season, "--from", path, "--basis", "dry", "--yes").status == 0
    (row,) = json.loads(result(season, "--json").out)["results"]
    assert Decimal(row["total_thc"]["low"]) == Decimal("0.2672")


@pytest.mark.parametrize(
    ("amount", "unit", "percent"),
    [("3.1", "mg/g", "0.31"), ("2900", "ppm", "0.29"), ("2900", "mg/kg", "0.29")],
)
def test_other_units_come_to_the_same_share(season: Path, amount: str, unit: str, percent: str) -> None:
    """3.1 mg/g is 0.31 %, 2900 ppm 0.29 % (computed)."""
    path = file(season, f"Sample,Analyte,Result,Unit\n26A1TA,THC,{amount},{unit}\n26A1TA,THCA,0,{unit}\n")
    assert result(season, "--from", path, "--yes").status == 0
    assert (results(season)[0]["found"]["THC"], results(season)[0]["unit"]) == (amount, unit)
    (row,) = json.loads(result(season, "--json").out)["results"]
    assert Decimal(row["total_thc"]["low"]) == Decimal(percent)


# --- the EU: the mean of a variety


@pytest.fixture
def lots(season: Path) -> Path:
    text = season.read_text()
    head, records = text.split("[records]\n", 1)
    bags = "".join(
        f'  {{ id = "{bag}", date = 2027-03-10, cohort = "A1", lot = "{lot}", laboratory = "lab", state = "sent", sent = 2027-03-10 }},\n'
        for bag, lot in BAGS.items()
    )
    rest = records[records.index("]\n") + 2 :]
    season.write_text(f"{head}{LOTS}\n[records]\nsample = [\n{bags}]\n{rest}")
    return season


def in_the_eu(season: Path, totals: str, basis: str = "as tested", water: str = "") -> dict[str, Any]:
    rows = "".join(
        f"{bag},{total},0{water and ',' + water}\n" for bag, total in zip(BAGS, totals.split(), strict=False)
    )
    path = file(season, f"Sample,THC (%),THCA (%){water and ',Moisture (%)'}\n{rows}")
    flags = ("--basis", basis, *(("--water-is", "of total") if water else ()))
    ran = result(season, "--from", path, *flags, "--yes")
    assert ran.status == 0, ran.said
    (variety,) = json.loads(result(season, "--json").out)["varieties"]
    assert isinstance(variety, dict)
    return variety


def test_the_mean_of_a_varietys_samples_over_the_limit_leads_to_procedure_b(lots: Path) -> None:
    """0.28, 0.33, 0.31: mean 0.3067, written 0.31, over: procedure B in the next year (2022/126, computed)."""
    rules(lots, "eu", acid_factor="0.877")
    found = in_the_eu(lots, "0.28 0.33 0.31")
    assert round(Decimal(found["mean"]["low"]), 4) == Decimal("0.3067")
    assert (found["written"], found["verdict"]) == ("0.31", "over")
    assert found["after"][0] == "procedure B in the next year"
    text = one_line(result(lots))
    assert "is 0.3067 %, written 0.31 %: over: procedure B in the next year" in text
    assert all(
        row["why"] == "the mean of all samples of its variety is judged"
        for row in json.loads(result(lots, "--json").out)["results"]
    )


def test_a_mean_at_the_limit_keeps_it(lots: Path) -> None:
    rules(lots, "eu", acid_factor="0.877")
    assert in_the_eu(lots, "0.28 0.32 0.30")["verdict"] == "within"


def test_the_mean_of_a_rule_without_its_factor_is_unclear_and_asks_for_it(lots: Path) -> None:
    rules(lots, "eu")
    found = in_the_eu(lots, "0.28 0.33 0.31")
    assert found["verdict"] == "unclear"
    assert "the acid factor of European Union, Delegated Regulation 2022/126 is not set" in found["why"]


def test_what_is_judged_absolutely_dry_has_the_water_of_the_tested_material_taken_out(lots: Path) -> None:
    """0.29 on material at 10 % water is 0.322 on absolutely dry: the bases differ, and each is kept (computed)."""
    rules(lots, "eu", acid_factor="0.877", basis='"absolutely dry"')
    found = in_the_eu(lots, "0.29", water="10")
    assert (found["written"], found["verdict"]) == ("0.32", "over")
    (row,) = json.loads(result(lots, "--json").out)["results"]
    assert row["basis"] == "absolutely dry"
    assert round(Decimal(row["total_thc"]["low"]), 3) == Decimal("0.322")
    assert data_of(lots.read_text())["result"][0]["basis"] == "as tested"


def test_what_the_laboratory_calls_dry_is_not_brought_to_absolutely_dry_unasked(lots: Path) -> None:
    rules(lots, "eu", acid_factor="0.877", basis='"absolutely dry"')
    found = in_the_eu(lots, "0.29", basis="dry", water="10")
    assert (found["verdict"], found["mean"]) == ("unclear", None)
    assert "ask the laboratory whether any water was left in it, and enter the basis" in found["why"]


@pytest.mark.parametrize(
    ("position", "total", "verdict"),
    [("top", "0.32", "over"), ("middle", "0.26", "within"), ("bottom", "0.22", "within")],
)
def test_each_position_is_judged_by_itself_so_that_the_top_alone_is_over(
    season: Path, position: str, total: str, verdict: str
) -> None:
    """0.32 / 0.26 / 0.22: their weighted mean is 0.282, and the top alone is over 0.3 (arithmetic)."""
    rules(season, "us")
    season.write_text(
        season.read_text().replace(
            'cohort = "A1", laboratory', f'cohort = "A1", position = "{position}", laboratory', 1
        )
    )
    words = f"THC {total} THCA 0 uncertainty 0"
    assert result(season, "26A1TA", *words.split(), "--yes").status == 0
    (row,) = json.loads(result(season, "--json").out)["results"]
    assert (row["position"], row["verdict"]) == (position, verdict)
