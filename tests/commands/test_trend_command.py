"""The command trend: check values by JSON, the plot in plain signs, what it tells, wrong words."""

from __future__ import annotations

import json
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from small_season import run
from trended_season import trended_season

from tests.planning.trended_farm import FLOWERING, RULES, A, B, C, D, bags_of

TODAY = FLOWERING + timedelta(days=62)


def told(path: Path, *words: str, today=TODAY) -> str:
    ran = run("trend", path, *words, today=today.isoformat())
    assert ran.status == 0, ran.said
    return ran.out


def as_json(path: Path, *words: str) -> dict[str, Any]:
    row: dict[str, Any] = json.loads(told(path, *words, "--json"))
    return row


def on(day: int | None) -> str | None:
    return None if day is None else (FLOWERING + timedelta(days=day)).isoformat()


# Computed with the model of nature/cannabinoid_trend/prior.py.
@pytest.mark.parametrize(
    ("totals", "day", "edges", "over"),
    [
        (A, 49, (0.2237, 0.2831, 0.3622, 0.2147, 0.3691), 0.322),
        (A, 56, (0.2109, 0.3000, 0.4161, 0.2021, 0.4304), 0.485),
        (D, 35, (0.1942, 0.2568, 0.3400, 0.1875, 0.3491), 0.187),
        (D, 42, (0.2266, 0.3420, 0.5087, 0.2179, 0.5277), 0.690),
        (C, 69, (0.1591, 0.2239, 0.2809, 0.1528, 0.2912), 0.037),
    ],
)
def test_the_check_values_come_out_as_json(tmp_path: Path, totals, day, edges, over) -> None:
    row = as_json(trended_season(tmp_path, bags_of("A1", totals)), "A1")
    (band,) = [one for one in row["days"] if one["day"] == day]
    assert band["date"] == on(day)
    names = ("low", "likely", "high", "result_low", "result_high")
    assert [band[name] for name in names] == pytest.approx(edges, abs=0.001)
    assert band["p_over"] == pytest.approx(over, abs=0.001)


@pytest.mark.parametrize(("totals", "days"), [(A, (43, 57, None)), (D, (33, 39, None)), (C, (None,) * 3)])
def test_the_limit_s_dates_come_out_as_json(tmp_path: Path, totals, days) -> None:
    limit = as_json(trended_season(tmp_path, bags_of("A1", totals)), "A1")["limit"]
    assert [limit[name] for name in ("earliest", "likely", "latest")] == list(map(on, days))


def test_points_are_those_of_the_position(tmp_path: Path) -> None:
    season = trended_season(tmp_path, bags_of("A1", B))
    middle = as_json(season, "A1", "--position", "middle")
    assert [point["low"] for point in middle["points"]] == list(B["middle"].values())
    assert not middle["decides"]
    assert as_json(season, "A1")["position"] == "top"


def test_the_same_input_gives_the_same_bytes(tmp_path: Path) -> None:
    pairs = list(bags_of("A1", B))
    first = told(trended_season(tmp_path, pairs), "A1", "--json")
    assert told(trended_season(tmp_path, pairs[::-1]), "A1", "--json") == first


def test_the_plot_has_limit_bands_points_and_dips(tmp_path: Path) -> None:
    text = told(trended_season(tmp_path, bags_of("A1", B)), "A1", "--ascii")
    plotted = [line for line in text.splitlines() if line.startswith("0.") or line.startswith("       ")]
    assert plotted[0].isascii()
    assert any(line.startswith("0.30 % =") for line in plotted)
    assert "v lower than before" in " ".join(text.split())
    assert sum(line.count("v") for line in plotted[:14]) == 1
    assert all(sign in "".join(plotted[:14]) for sign in "#.o-|")


def test_under_three_dates_it_tells_how_many_are_missing_and_a_guess(tmp_path: Path) -> None:
    text = " ".join(
        told(trended_season(tmp_path, bags_of("A1", {"top": {14: 0.04, 21: 0.09}})), "A1").split()
    )
    assert "No trend yet: samples of 1 more date are needed, 3 in all." in text
    assert "A guess, which moves nothing: 87 of 100 such crops reach 0.3 %, half of those by day 33" in text
    assert "Chance that" not in text


def test_three_dates_are_told_as_provisional(tmp_path: Path) -> None:
    text = " ".join(told(trended_season(tmp_path, bags_of("A1", D)), "A1").split())
    assert "Provisional: 3 dates only" in text
    assert "earliest Mon 29 Mar 2027; likely Sun 4 Apr 2027; latest not within 35 d" in text
    assert "The limit of 0.3 % is passed" in text


def test_rules_their_standing_and_the_age_of_what_is_known_are_told(tmp_path: Path) -> None:
    text = " ".join(told(trended_season(tmp_path, bags_of("A1", A)), "A1").split())
    assert "Rules: Example rules, as of 28 Nov 2026: check with your authority." in text
    assert "Known today is the cut of 7 Apr, 20 days old" in text
    assert "Pre-tests, not official" in text
    assert "31 Mar 2027 35 0.2 4 20.0" in text


def test_an_odd_result_and_another_laboratory_are_named(tmp_path: Path) -> None:
    totals = {"top": C["top"] | {41: 0.6}}
    pairs = bags_of("A1", totals, laboratories=("lab",) * 5 + ("other",))
    text = " ".join(told(trended_season(tmp_path, pairs), "A1").split())
    assert "Odd: the result of 6 Apr, 0.6 %, lies outside what the others foretell (99 in 100)" in text
    assert ": another laboratory" in text
    assert "A step: from the bag of 20 Apr on the laboratory is other" in text


def test_without_rules_no_limit_is_told(tmp_path: Path) -> None:
    season = trended_season(tmp_path, bags_of("A1", A), profile=[])
    assert "No limit: the season has no rules in force; add a profile." in told(season, "A1")
    assert as_json(season, "A1")["limit"]["percent"] is None


def test_an_earlier_cohort_is_named_as_carried_in(tmp_path: Path) -> None:
    later = bags_of("B1", D, 50, FLOWERING + timedelta(days=14))
    season = trended_season(tmp_path, bags_of("A1", A), later)
    assert "takes in the results of A1, of the same variety" in " ".join(told(season, "B1").split())
    assert as_json(season, "B1")["carried_from"] == ["A1"]


@pytest.mark.parametrize(
    ("words", "why"),
    [
        ((), "give a COHORT or a lot, such as: A1"),
        (("Z9",), "Z9"),
        (("A1", "--position", "roof"), 'A1 has no results of "roof"; it has: top'),
        (("B1", "--position", "top"), 'B1 has no results of "top"; it has no results yet'),
        (("A1", "B1"), "B1"),
    ],
)
def test_wrong_words_are_refused_with_what_would_be_right(tmp_path: Path, words, why) -> None:
    ran = run("trend", trended_season(tmp_path, bags_of("A1", A)), *words, today=TODAY.isoformat())
    assert ran.status != 0
    assert why in ran.said


def test_a_cohort_without_results_has_a_guess_alone(tmp_path: Path) -> None:
    text = " ".join(told(trended_season(tmp_path), "A1").split())
    assert "samples of 3 more dates are needed" in text
    assert "There are no results yet." in text


def test_what_is_acceptable_once_the_uncertainty_is_taken_off_stands_beside_the_plain_limit(
    tmp_path: Path,
) -> None:
    pairs = [(bag, row | {"uncertainty": "0.04"}) for bag, row in bags_of("A1", A)]
    season = trended_season(tmp_path, pairs, profile=[dict(RULES) | {"uncertainty": "taken off"}])
    text = " ".join(told(season, "A1").split())
    assert (
        "with 0.04 percentage points, as of the last result, up to 0.34 % is acceptable, reached on" in text
    )
    assert "2027 at the earliest, by which the day to cut goes; chance to be over that" in text
    assert "Limit 0.3 %, with nothing taken off: earliest" in text
    allowed = as_json(season, "A1")["allowance"]
    (day,) = [one for one in allowed["days"] if one["day"] == 49]
    assert day["p_over"] == pytest.approx(1 - 0.888, abs=0.001)
    by_day = {one["day"]: one["p_over"] for one in allowed["days"]}
    assert allowed["earliest"] == on(min(day for day, over in by_day.items() if day >= 42 and over >= 0.05))


def test_a_name_that_is_neither_a_lot_nor_a_cohort_is_answered_with_both(tmp_path: Path) -> None:
    lots = [{"id": "A1-east", "cohort": "A1"}, {"id": "A1-west", "cohort": "A1"}]
    ran = run("trend", trended_season(tmp_path, bags_of("A1", A), lot=lots), "A9", today=str(TODAY))
    assert ran.status == 2
    assert '"A9" is not a lot of this season. Known: A1, B1, P1, A1-east, A1-west' in ran.said


def test_results_that_do_not_count_are_named_with_why(tmp_path: Path) -> None:
    early = {"top": {-3: 0.02}} | {"middle": {21: 0.0}}
    season = trended_season(tmp_path, bags_of("A1", A), bags_of("A1", early, 50))
    text = " ".join(told(season, "A1").split())
    assert "Result r051 does not count: its bag was cut before 50 % flowering of A1" in text
    assert "of 17 Mar is not in the trend: day 21, middle: 0 %" in text
    assert [one["result"] for one in as_json(season, "A1")["aside"]] == ["r051"]
    assert "Result r050" not in text


def test_of_a_lot_that_is_cut_no_day_is_told_that_is_still_to_come(tmp_path: Path) -> None:
    cut = FLOWERING + timedelta(days=50)
    whole = [{"id": "p1", "date": cut, "lot": "A1", "last": True}]
    standing = told(trended_season(tmp_path, bags_of("A1", A)), "A1")
    assert "earliest" in standing
    path = trended_season(tmp_path, bags_of("A1", A), **{"pass": whole})
    text = told(path, "A1")
    assert "A1 is cut, since Thu 15 Apr 2027" in text
    for words in ("earliest", "Chance that", "has gone on", "limit reached"):
        assert words not in text
    assert as_json(path, "A1")["cut"] == cut.isoformat()


def test_with_the_tops_cut_the_position_that_still_stands_decides(tmp_path: Path) -> None:
    tops = [{"id": "p1", "date": FLOWERING + timedelta(days=50), "lot": "A1", "part": "top"}]
    path = trended_season(tmp_path, bags_of("A1", B), **{"pass": tops})
    text = told(path, "A1")
    assert text.startswith("A1, middle (decides)")
    assert "Cut already: top" in text
    assert as_json(path, "A1")["position"] == "middle"
