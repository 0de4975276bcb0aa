"""Results by command, typed by hand: in, kept aside with their reason, judged by the rules in force."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from resulted_season import one_line, result, results, season, with_factor
from sampled_season import TODAY
from small_season import run

__all__ = ["season"]


def test_a_result_is_typed_as_it_stands_in_the_report_and_undone(season: Path) -> None:
    before = season.read_bytes()
    words = (
        "26a-1ta",
        "d9-THC",
        "0.050",
        "thca=0.30",
        "report",
        "R-77",
        "uncertainty",
        "0.04",
        "date",
        "15 mar",
    )
    assert result(season, *words, "--yes").status == 0
    (only,) = results(season)
    assert only["id"] == "26A1TA-1"
    assert only["found"] == {"THC": "0.050", "THCA": "0.30"}
    assert (only["report"], only["uncertainty"], str(only["date"])) == ("R-77", "0.04", "2027-03-15")
    assert run("undo", season, "--yes", today=TODAY).status == 0
    assert season.read_bytes() == before


def test_what_is_in_is_listed_with_its_total_and_its_verdict(season: Path) -> None:
    """0.05 + 0.877 x 0.30 = 0.3131 (7 CFR 990), with 0.04 acceptable: 0.2731 to 0.3531."""
    run("rules", season, "us", "--yes", today=TODAY)
    result(season, "26A1TA", "THC", "0.05", "THCA", "0.30", "uncertainty", "0.04", "--yes")
    text = one_line(result(season))
    assert "day 14 top 26A-1TA, cut 10 Mar: total THC 0.3131 % ±0.04, within" in text
    assert "as of 28 Nov 2026: check with your authority" in text
    assert "PRE-TESTS, NOT OFFICIAL" in text
    assert "K7Q-2RY A1 middle: due Mon 15 Mar" in text


@pytest.mark.slow
@pytest.mark.parametrize(
    ("found", "verdict"),
    [
        # 7 CFR 990.1 (read) and rows of the rule: the uncertainty is taken off before it is compared.
        (("THC", "0.35", "THCA", "0", "uncertainty", "0.06"), "within"),
        (("THC", "0.37", "THCA", "0", "uncertainty", "0.06"), "over"),
        (("THC", "0.33", "THCA", "0", "uncertainty", "0.03"), "within"),
        (("THC", "0.33", "THCA", "0", "uncertainty", "10", "uncertainty", "is", "relative"), "within"),
        (("THC", "<0.05", "THCA", "0.30"), "unclear"),
        (("THC", "0.33", "THCA", "0"), "unclear"),
    ],
)
def test_the_legal_arithmetic_through_the_command(season: Path, found: tuple[str, ...], verdict: str) -> None:
    run("rules", season, "us", "--yes", today=TODAY)
    assert result(season, "26A1TA", *found, "--yes").status == 0
    (row,) = json.loads(result(season, "--json").out)["results"]
    assert row["verdict"] == verdict


def test_water_is_taken_out_of_what_is_as_received(season: Path) -> None:
    """0.24048 as received at 10 % water of the total: 0.2672 (computed)."""
    words = ("THC", "0.03", "THCA", "0.24", "basis", "as received", "water", "10")
    assert result(season, "26A1TA", *words, "--yes").status == 0
    (row,) = json.loads(result(season, "--json").out)["results"]
    assert float(row["total_thc"]["low"]) == pytest.approx(0.2672)


@pytest.mark.parametrize(
    ("words", "right"),
    [
        (("26A1TB", "THC", "0.1"), "near it in this season: 26A-1TA"),
        (("00000-0", "THC", "0.1"), "there is no bag 000-000; --keep keeps its result aside"),
        (("26A1TA", "THC", "0,05"), "write a point before the decimals: 0.05"),
        (("26A1TA", "THC", "-0.05"), "cannot be under 0"),
        (("26A1TA", "THC", "much"), "write a number or what is under a limit"),
        (("26A1TA", "THC", "0.1", "THC", "0.2"), "given twice"),
    ],
)
def test_what_cannot_be_is_told_and_nothing_is_written(
    season: Path, words: tuple[str, ...], right: str
) -> None:
    before = season.read_bytes()
    ran = result(season, *words, "--yes")
    assert ran.status == 2
    assert right in one_line(ran)
    assert season.read_bytes() == before


@pytest.mark.parametrize(
    ("words", "why"),
    [
        (("26A1TA", "THC", "120", "THCA", "0"), "is over 100 %"),
        (("26A1TA", "THC", "0.33", "THCA", "0", "uncertainty", "10"), "10 % is more than the result"),
        (("26A1TA", "THC", "0.1", "THCA", "0.1", "date", "1 apr"), "which is to come"),
        (("00000-0", "THC", "0.1", "THCA", "0.1", "--keep"), "there is no bag 000-000"),
    ],
)
def test_what_cannot_count_is_kept_aside_with_its_reason(
    season: Path, words: tuple[str, ...], why: str
) -> None:
    assert result(season, *words, "--yes").status == 0
    assert len(results(season)) == 1
    assert f"Kept aside, not used {results(season)[0]['id']}" in one_line(result(season))
    assert why in one_line(result(season))


def test_a_file_that_is_none_is_told(season: Path) -> None:
    assert "cannot be read" in result(season, "--from", season.with_name("none.csv"), "--yes").err
    assert "cannot be read" in result(season, "--from", season.parent, "--yes").err


def test_a_total_by_a_factor_that_no_rule_sets_is_told_and_decides_nothing(season: Path) -> None:
    with_factor(season, "")
    assert result(season, "26A1TA", "THC", "0.01", "THCA", "0.10", "--yes").status == 0
    why = "the acid factor of United States, 7 CFR 990 is not set, and 0.877 is taken: enter the authority's"
    assert why in one_line(result(season))
    (row,) = json.loads(result(season, "--json").out)["results"]
    assert (row["verdict"], row["why"], row["acid_factor"]) == ("unclear", why, "0.877")


def test_a_total_without_any_rules_tells_by_which_factor_it_is_made(season: Path) -> None:
    assert result(season, "26A1TA", "THC", "0.01", "THCA", "0.10", "--yes").status == 0
    assert "No rules are set: THCA is counted by 0.877, as in 7 CFR 990" in one_line(result(season))
    run("rules", season, "us", "--yes", today=TODAY)
    assert "No rules are set" not in one_line(result(season))


def test_what_was_not_detected_is_under_the_limit_of_detection_that_is_kept(season: Path) -> None:
    words = (
        "26A1TA",
        "THC",
        "ND",
        "THCA",
        "0.25",
        *["LOD", "of", "THC", "0.005", "LOQ", "of", "d9-THC", "0.02"],
    )
    assert result(season, *words, "--yes").status == 0
    (row,) = json.loads(result(season, "--json").out)["results"]
    assert row["total_thc"] == {"low": "0.21925", "high": "0.22425"}


def test_a_bag_that_the_report_has_collected_on_another_day_is_told(season: Path) -> None:
    words = ("26A1TA", "THC", "0.01", "THCA", "0.25", "collected", "3 mar", "date", "14 mar")
    assert result(season, *words, "--yes").status == 0
    text = one_line(result(season))
    assert (
        "collected on Wed 3 Mar by the report, and its bag was cut on Wed 10 Mar: look whether it is this bag"
        in text
    )


def test_a_corrected_report_with_a_new_number_shows_the_old_one_beside_it(season: Path) -> None:
    result(season, "26A1TA", *["THC", "0.05", "THCA", "0.30", "report", "R-77"], "date", "14 mar", "--yes")
    ran = result(season, "26A1TA", *["CBD", "0.2", "report", "R-77a"], "date", "15 mar", "--yes")
    text = one_line(ran)
    assert (
        "26A1TA-1 is completed: amount of CBD none -> 0.2, report R-77 -> R-77a, date 14 Mar 2027 -> 15 Mar 2027"
        in text
    )
    (only,) = results(season)
    assert (only["report"], str(only["date"])) == ("R-77a", "2027-03-15")


@pytest.mark.parametrize("words", ["THC 0.06 THCA 0.30 CBD 0.2", "CBD 0.2 unit mg/g", "CBD 0.2 total 0.4"])
def test_a_second_report_that_has_another_figure_overwrites_nothing(season: Path, words: str) -> None:
    first = "THC 0.05 THCA 0.30 total 0.31"
    result(season, "26A1TA", *first.split(), "--yes")
    assert result(season, "26A1TA", *words.split(), "--yes").status == 0
    assert results(season)[0]["found"] == {"THC": "0.05", "THCA": "0.30"}
    assert len(results(season)) == 2
    assert "a second report of this bag; 26A1TA-1 counts" in one_line(result(season))
    assert "where this one is right, write under aside of 26A1TA-1 why that is not used" in one_line(
        result(season)
    )


def test_a_report_that_is_to_stand_by_itself_completes_nothing(season: Path) -> None:
    result(season, "26A1TA", "THC", "0.05", "THCA", "0.30", "--yes")
    assert result(season, "26A1TA", "CBD", "0.2", "--keep", "--yes").status == 0
    assert [one["found"] for one in results(season)] == [{"THC": "0.05", "THCA": "0.30"}, {"CBD": "0.2"}]


def test_water_of_figures_that_are_dry_is_refused_and_nothing_saved(season: Path) -> None:
    before = season.read_bytes()
    for basis in ((), ("basis", "dry")):
        ran = result(season, "26A1TA", "THC", "0.03", "THCA", "0.24", "water", "10", *basis, "--yes")
        assert ran.status != 0
        assert (
            'the figures are dry: their water is out already; leave it out, or set the basis to "as received"'
            in (one_line(ran))
        )
    assert season.read_bytes() == before


@pytest.mark.parametrize(("uncertainty", "asked"), [("0.5", True), ("0.05", False), ("10 % rel", False)])
def test_an_absolute_uncertainty_larger_than_its_result_is_asked_about(
    season: Path, uncertainty: str, asked: bool
) -> None:
    ran = result(season, "26A1TA", "THC", "0.33", "THCA", "0", "uncertainty", uncertainty, "--dry-run")
    assert ("is it relative" in one_line(ran)) == asked
    assert ("0.5 percentage points is more than the total THC of 0.33 %" in one_line(ran)) == asked


def test_the_mean_by_the_weight_of_the_parts_stands_beside_the_positions(season: Path) -> None:
    """Top, middle, bottom 0.32, 0.26, 0.22 and masses 0.5, 0.3, 0.2: 0.282 (arithmetic)."""
    bags = {"26A1TA": "0.32", "K7Q2RY": "0.26", "A1T07Q": "0.22"}
    row = '  { id = "A1T07Q", date = 2027-03-10, cohort = "A1", position = "bottom", laboratory = "lab", state = "sent" },\n'
    cut = 'pass = [{ id = "A1-1", date = 2027-03-10, lot = "A1", fresh_kg = { top = 5, middle = 3, bottom = 2 } }]\n'
    text = season.read_text()
    assert text.count("sample = [\n") == 1
    season.write_text(text.replace("sample = [\n", f"{cut}sample = [\n{row}"))
    for bag, total in bags.items():
        assert result(season, bag, "THC", total, "THCA", "0", "--yes").status == 0
    told = one_line(result(season))
    assert "A1, cut 10 Mar: the mean by weight is 0.282 % (" in told
    assert all(share in told for share in ("top 0.50", "middle 0.30", "bottom 0.20"))
    (row_of,) = json.loads(result(season, "--json").out)["weighted"]
    assert row_of["lot"] == "A1"
    assert row_of["total_thc"]["low"].rstrip("0") == "0.282"


def test_water_that_was_missing_is_added_to_figures_that_are_as_received(season: Path) -> None:
    words = ("THC", "0.03", "THCA", "0.24", "basis", "as received")
    assert result(season, "26A1TA", *words, "--yes").status == 0
    ran = run("set", season, "result", "26A1TA-1", "water", "10", "--yes", today=TODAY)
    assert ran.status == 0, ran.said
    assert "total THC 0.2672 %" in one_line(result(season))


@pytest.mark.parametrize(
    ("typed", "kept"), [("10 % rel", "10 % rel"), ("0.02 abs", "0.02 abs"), ("±0.02", "0.02 abs")]
)
def test_the_uncertainty_of_one_analyte_is_typed_and_kept(season: Path, typed: str, kept: str) -> None:
    ran = result(season, "26A1TA", *["THC", "0.05", "THCA", "0.30", "uncertainty of THC", typed], "--yes")
    assert ran.status == 0, ran.said
    assert results(season)[0]["uncertainties"] == {"THC": kept}


def test_an_uncertainty_of_an_analyte_that_may_be_either_kind_is_asked_for(season: Path) -> None:
    ran = result(season, "26A1TA", *["THC", "0.05", "THCA", "0.30", "uncertainty of THC", "0.02"], "--yes")
    assert ran.status == 2
    assert 'write "0.02 % rel" or "0.02 abs"' in one_line(ran)
