"""Official samples by command: each step recorded, verdicts by the rules' arithmetic, what a failure allows as tasks."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from sampled_season import sampled_season
from small_season import run

from tests.season_data import data_of

TODAY = "2027-04-12"
US = """
[[profile]]
id = "us"
name = "here"
limit_percent = 0.3
acid_factor = 0.877
uncertainty = "taken off"
sample_before_harvest_d = 30
harvest_within_d = 30
negligence_percent = 1.0
after_failure = ["another test", "disposal"]
as_of = 2026-11-28
source = "a page"
"""
EU = """
[[profile]]
id = "eu"
name = "there"
limit_percent = 0.3
uncertainty = "not set"
judged = "mean of a variety"
decimals = 2
basis = "as tested"
sample_from_flowering_start_d = 20
sample_to_flowering_end_d = 10
after_failure = ["procedure B in the next year"]
as_of = 2026-11-28
source = "a page"
"""


@pytest.fixture
def season(tmp_path: Path) -> Path:
    return sampled_season(tmp_path, US)


def official(season: Path, *words: str, today: str = TODAY) -> str:
    ran = run("official", season, *words, today=today)
    assert ran.status == 0, ran.said
    return " ".join(ran.out.split())


def refused(season: Path, *words: str) -> str:
    before = season.read_bytes()
    ran = run("official", season, *words, "--yes", today=TODAY)
    assert ran.status != 0
    assert season.read_bytes() == before
    return " ".join(ran.said.split())


def records(season: Path, kind: str = "official") -> list[dict[str, Any]]:
    found: list[dict[str, Any]] = data_of(season.read_text()).get(kind, [])
    return found


def own_tasks(season: Path) -> list[dict[str, Any]]:
    return [task for task in records(season, "task") if not task.get("chore")]


def test_a_lot_without_a_sample_has_the_first_day_by_the_expected_harvest(season: Path) -> None:
    text = official(season, "A1")
    assert "none is asked for" in text
    assert "to be taken from" in text
    assert "30 d before the harvest expected" in text
    assert "here, as of 28 Nov 2026: check with your authority" in text
    assert "A producer never takes one." in text


def test_asked_booked_taken_and_passed_are_steps_of_one_record(season: Path) -> None:
    before = season.read_bytes()
    official(season, "A1", "asked", "2027-04-15", "--yes")
    official(season, "A1", "booked", "2027-04-14", "--who", "agent North", "--yes")
    assert "booked for Wed 14 Apr 2027 by agent North, asked on 12 Apr 2027" in official(season, "A1")
    official(season, "A1", "taken", "2027-04-14", "--yes", today="2027-04-14")
    text = official(season, "A1", today="2027-04-15")
    assert "taken Wed 14 Apr 2027 by agent North; no result yet; valid until Fri 14 May 2027" in text
    (one,) = records(season)
    assert (one["state"], one["who"], str(one["asked"])) == ("taken", "agent North", "2027-04-12")
    official(season, "A1", "passed", "--total", "0.35", "--uncertainty", "0.06", "--yes", today="2027-04-20")
    text = official(season, "A1", today="2027-04-20")
    assert "passed, total 0.35 % +- 0.06 %; by the rules' arithmetic within: 0.29-0.41 %" in text
    assert own_tasks(season) == []
    assert run("undo", season, "4", "--yes", today=TODAY).status == 0
    assert season.read_bytes() == before


def test_a_weekday_of_a_sample_that_was_taken_is_the_last_one_and_of_one_that_is_booked_the_next(
    season: Path,
) -> None:
    """Today is a Monday."""
    official(season, "A1", "booked", "fri", "--yes")
    assert str(records(season)[0]["date"]) == "2027-04-16"
    official(season, "A1", "taken", "fri", "--who", "agent North", "--yes")
    assert str(records(season)[0]["date"]) == "2027-04-09"


@pytest.mark.parametrize(
    ("total", "uncertainty", "relative", "verdict"),
    [
        ("0.37", "0.06", False, "over: 0.31-0.43 %"),  # 7 CFR 990, rule
        ("0.33", "0.03", False, "within: 0.3-0.36 %"),
        ("0.33", "10", True, "within: 0.297-0.363 %"),
        # To four decimals as the figures of a laboratory, and every digit where fewer would put an end onto the limit.
        ("0.3131", "7", True, "within: 0.2912-0.335 %"),
        ("0.33337", "10.01", True, "within: 0.299999663-0.366740337 %"),
        ("0.97", "0.05", False, "over: 0.92-1.02 %"),
    ],
)
def test_a_reported_total_is_judged_with_its_uncertainty(
    season: Path, total: str, uncertainty: str, relative: bool, verdict: str
) -> None:
    official(season, "A1", "taken", "2027-04-10", "--who", "agent North", "--yes")
    flags = ("--relative",) if relative else ()
    official(season, "A1", "passed", "--total", total, "--uncertainty", uncertainty, *flags, "--yes")
    text = official(season, "A1")
    assert f"by the rules' arithmetic {verdict}" in text
    assert "negligence" not in text


def test_over_the_negligence_line_is_told(season: Path) -> None:
    official(season, "A1", "taken", "2027-04-10", "--who", "agent North", "--yes")
    official(season, "A1", "failed", "--total", "1.04", "--uncertainty", "0.03", "--yes")
    assert "over the negligence line: over" in official(season, "A1")


def test_a_total_without_its_uncertainty_over_the_limit_is_unclear_and_never_zero(season: Path) -> None:
    official(season, "A1", "taken", "2027-04-10", "--who", "agent North", "--yes")
    official(season, "A1", "passed", "--total", "0.31", "--yes")
    text = official(season, "A1")
    assert "measurement uncertainty not set" in text
    assert "by the rules' arithmetic unclear" in text


def test_a_failure_makes_what_the_rules_allow_into_own_tasks_in_one_change(season: Path) -> None:
    official(season, "A1", "taken", "2027-04-01", "--who", "agent North", "--yes")
    before = season.read_bytes()
    shown = official(season, "A1", "failed", "--total", "0.41", "--uncertainty", "0.03", "--yes")
    assert "new task" in shown
    whats = [task["what"] for task in own_tasks(season)]
    assert len(whats) == 3
    assert "do not cut, move or mix it" in whats[0]
    assert "another test" in whats[1]
    assert "disposal" in whats[2]
    assert {task["cohort"] for task in own_tasks(season)} == {"A1"}
    text = official(season, "A1")
    assert "the rules allow: another test; disposal" in text
    assert "valid until" not in text
    assert run("tasks", season, "--yes", today=TODAY).status == 0
    assert len(own_tasks(season)) == 3
    assert run("check", season, today=TODAY).status == 0
    # The tasks that what waits for the authority needs meanwhile, and the failure.
    assert run("undo", season, "--yes", today=TODAY).status == 0
    assert run("undo", season, "--yes", today=TODAY).status == 0
    assert season.read_bytes() == before


def test_a_failure_recorded_again_with_its_figures_makes_no_second_tasks(season: Path) -> None:
    official(season, "A1", "taken", "2027-04-01", "--who", "agent North", "--yes")
    official(season, "A1", "failed", "--yes")
    official(season, "A1", "failed", "--total", "0.41", "--after", "re-test", "--yes")
    assert ["re-test, as the authority" in task["what"] for task in own_tasks(season)] == [False] * 3 + [True]
    (one,) = records(season)
    assert (one["total"], one["after"]) == ("0.41", "re-test")
    assert "then: re-test" in official(season, "A1")


def test_a_new_sample_after_a_failed_one_is_a_record_of_its_own(season: Path) -> None:
    official(season, "A1", "taken", "2027-04-01", "--who", "agent North", "--yes")
    official(season, "A1", "failed", "--yes")
    waits = " ".join(run("cut", season, "A1", today=TODAY).out.split())
    assert "earliest: not known" in waits
    assert "waits for what the authority allows: the official sample of Thu 1 Apr 2027 failed" in waits
    official(season, "A1", "taken", "2027-04-10", "--who", "agent North", "--yes")
    official(season, "A1", "passed", "--yes")
    assert [one["outcome"] for one in records(season)] == ["failed", "passed"]
    assert "valid until Mon 10 May 2027" in official(season, "A1")
    assert "earliest: Sat 10 Apr 2027" in " ".join(run("cut", season, "A1", today=TODAY).out.split())


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("A1", "taken", "2027-04-10"), "only an authorised agent takes it, never the producer"),
        (("A1", "taken", "2027-04-20", "--who", "agent North"), "is to come"),
        (("A1", "passed"), "no official sample of A1 is recorded as taken"),
        (("A1", "asked"), "for which day is it asked?"),
        (("A1", "mailed", "2027-04-10"), '"mailed" is no step of an official sample'),
        (("A9", "asked", "2027-04-15"), "is not a lot of this season"),
        (
            ("A1", "asked", "2027-04-15", "--total", "0.3"),
            "total: it does not apply to asked; it goes with passed, failed",
        ),
        (("A1", "passed", "--after", "disposal"), "after: it does not apply to passed; it goes with failed"),
    ],
)
def test_wrong_steps_are_refused_and_nothing_is_lost(season: Path, words: tuple[str, ...], said: str) -> None:
    assert said in refused(season, *words)


@pytest.mark.parametrize(
    ("flags", "said"),
    [
        (("--total", "0.3", "--uncertainty", "10"), "relative is for one in % of the total"),
        (("--total=-0.3",), 'total "-0.3"'),
        (("--total", "plenty"), 'total "plenty"'),
        (("--total", "0,41"), "with a point, such as 0.35"),
        (("--uncertainty", "0.06"), "give the total too"),
        (("--total", "0.3", "--uncertainty", "some"), 'uncertainty "some": write percentage points'),
    ],
)
def test_wrong_figures_of_a_report_are_refused(season: Path, flags: tuple[str, ...], said: str) -> None:
    official(season, "A1", "taken", "2027-04-10", "--who", "agent North", "--yes")
    assert said in refused(season, "A1", "failed", *flags)


def test_an_early_sample_is_told_with_the_first_day_that_would_be_right(season: Path) -> None:
    text = official(season, "A1", "booked", "2027-02-20", "--dry-run")
    assert "Sat 20 Feb 2027 is more than 30 d before the harvest expected on" in text
    assert "right would be from" in text
    assert "is more than 30 d" not in official(season, "A1", "booked", "2027-04-14", "--dry-run")


def test_a_cohort_of_several_lots_is_asked_which(season: Path) -> None:
    for lot in ("A1-e", "A1-w"):
        assert run("add", season, "lot", lot, "cohort", "A1", "--yes", today=TODAY).status == 0
    assert "name it: A1-e, A1-w" in refused(season, "A1", "asked", "2027-04-15")


def test_procedure_a_counts_from_flowering_and_to_the_day_it_ends(tmp_path: Path) -> None:
    season = sampled_season(tmp_path, EU)
    assert (
        run("set", season, "cohort", "A1", "recorded flowering", "2027-03-01", "--yes", today=TODAY).status
        == 0
    )
    text = official(season, "A1")
    assert "to be taken from Sun 21 Mar 2027, 20 d after flowering, to 10 d after flowering ends" in text
    ends = official(season, "A1", "--flowering-ends", "2027-04-05")
    assert "to Thu 15 Apr 2027, 10 d after flowering ends" in ends
    row = json.loads(
        run("official", season, "A1", "--flowering-ends", "2027-04-05", "--json", today=TODAY).out
    )
    assert (row["lots"][0]["sample_from"], row["lots"][0]["sample_to"]) == ("2027-03-21", "2027-04-15")
    ran = run("official", season, "A1", "--flowering-ends", "2027-02-05", today=TODAY)
    assert ran.status != 0
    assert "flowering ends on" in ran.said


def test_the_mean_of_a_variety_is_judged_as_written_and_a_lot_is_not(tmp_path: Path) -> None:
    rows = "\n".join(
        f'  {{ id = "o{n}", date = 2027-04-0{n}, lot = "A1", state = "taken", total = "{total}" }},'
        for n, total in enumerate(("0.28", "0.33", "0.31"), 1)
    )
    season = sampled_season(tmp_path, EU)
    season.write_text(season.read_text() + f"official = [\n{rows}\n]\n")
    text = official(season, "A1")
    assert (
        "amber, mean of 0.28, 0.33, 0.31 %: 0.3067 %, written 0.31 %; by the rules' arithmetic over" in text
    )
    assert "then: procedure B in the next year" in text
    told = json.loads(run("official", season, "--json", today=TODAY).out)
    assert told["varieties"][0]["verdict"] == "over"
    assert told["lots"][0]["samples"][0]["verdict"] is None


def test_samples_of_several_lots_are_booked_in_one_act_and_taken_back_by_one_undo(season: Path) -> None:
    before = season.read_bytes()
    text = official(season, "A1", "B1", "booked", "2027-04-20", "--yes")
    assert "official sample of A1 B1 booked for Tue 20 Apr 2027" in text
    assert [(o["lot"], o["state"]) for o in data_of(season.read_text())["official"]] == [
        ("A1", "booked"),
        ("B1", "booked"),
    ]
    assert "official sample of A1 B1 taken on" in official(
        season, "A1,B1", "taken", "2027-04-12", "--who", "Eva", "--yes"
    )
    for _ in range(2):
        assert run("undo", season, "--yes", today=TODAY).status == 0
    assert season.read_bytes() == before


def test_a_total_is_of_one_lot_and_not_recorded_of_two(season: Path) -> None:
    official(season, "A1,B1", "taken", "2027-04-12", "--who", "Eva", "--yes")
    assert "a report is of one lot; record it of each by itself" in refused(
        season, "A1", "B1", "passed", "--total", "0.2"
    )


def taken_and_failed(season: Path) -> None:
    official(season, "A1", "taken", "2027-04-01", "--who", "agent North", "--yes")
    official(season, "A1", "failed", "--total", "0.35", "--uncertainty", "0.02", "--yes")


def test_a_failed_sample_is_not_made_passed_without_a_question(season: Path) -> None:
    taken_and_failed(season)
    shown = official(season, "A1", "passed", "--dry-run")
    assert "sample A1-o1 of A1 of Thu 1 Apr 2027 failed already, and this makes it passed" in shown
    assert "another test is a sample of its own; first: A1 taken DATE --who AGENT" in shown
    assert "passed, though its total of 0.35 % is over by the rules' arithmetic: 0.33-0.37 %" in shown
    before = season.read_bytes()
    ran = run("official", season, "A1", "passed", today=TODAY, typed="n\n")
    assert "Save all the same? [y/N]" in ran.said
    assert season.read_bytes() == before


def test_a_report_meant_for_a_sample_that_is_booked_is_asked_about(season: Path) -> None:
    taken_and_failed(season)
    official(season, "A1", "booked", "2027-04-15", "--who", "agent North", "--yes")
    shown = official(season, "A1", "passed", "--total", "0.27", "--uncertainty", "0.02", "--dry-run")
    assert "A1-o2, booked for Thu 15 Apr 2027, is not recorded as taken" in shown
    assert "puts a total of 0.27 % in place of 0.35 %" in shown


def test_a_verdict_against_its_own_figure_is_asked_about(season: Path) -> None:
    official(season, "A1", "taken", "2027-04-01", "--who", "agent North", "--yes")
    over = official(season, "A1", "passed", "--total", "0.45", "--uncertainty", "0.02", "--dry-run")
    assert "passed, though its total of 0.45 % is over by the rules' arithmetic: 0.43-0.47 %" in over
    within = official(season, "A1", "failed", "--total", "0.25", "--uncertainty", "0.02", "--dry-run")
    assert "failed, though its total of 0.25 % is within by the rules' arithmetic" in within
    fits = official(season, "A1", "passed", "--total", "0.25", "--uncertainty", "0.02", "--dry-run")
    assert "though" not in fits


def test_passed_without_a_total_is_told(season: Path) -> None:
    official(season, "A1", "taken", "2027-04-01", "--who", "agent North", "--yes")
    assert "no total of the report is recorded" in official(season, "A1", "passed", "--dry-run")
    with_total = official(season, "A1", "passed", "--total", "0.25", "--dry-run")
    assert "no total" not in with_total


def test_figures_added_to_a_report_that_failed_are_no_question(season: Path) -> None:
    official(season, "A1", "taken", "2027-04-01", "--who", "agent North", "--yes")
    official(season, "A1", "failed", "--yes")
    shown = official(season, "A1", "failed", "--total", "0.41", "--uncertainty", "0.03", "--dry-run")
    assert "already" not in shown
    assert "in place of" not in shown


def test_what_the_authority_has_follow_a_failure_is_a_task(season: Path) -> None:
    taken_and_failed(season)
    shown = official(season, "A1", "failed", "--after", "disposal", "--yes")
    assert "new task" in shown
    assert own_tasks(season)[-1]["what"].startswith("Lot A1: disposal, as the authority has it follow")
    count = len(own_tasks(season))
    official(season, "A1", "failed", "--after", "disposal", "--total", "0.36", "--yes")
    assert len(own_tasks(season)) == count


def test_what_follows_a_failure_recorded_later_keeps_the_day_of_the_report(season: Path) -> None:
    taken_and_failed(season)
    reported = records(season)[0]["reported"]
    official(season, "A1", "failed", "--after", "re-test", "--yes", today="2027-04-20")
    assert records(season)[0]["reported"] == reported
    official(season, "A1", "failed", "2027-04-14", "--yes", today="2027-04-20")
    assert str(records(season)[0]["reported"]) == "2027-04-14"


def test_a_report_of_a_day_to_come_is_refused(season: Path) -> None:
    official(season, "A1", "taken", "2027-04-12", "--who", "agent North", "--yes")
    assert "Wed 14 Apr 2027 is to come; a report is recorded once it is in" in refused(
        season, "A1", "passed", "2027-04-14", "--total", "0.2"
    )
