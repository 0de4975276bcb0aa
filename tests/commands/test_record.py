"""Recording a date: what moves is shown first, then saved, and undone to the byte."""

from __future__ import annotations

import json
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from small_season import run

from tests.season_data import data_of

LATE = ("A1", "transplant", "+9")  # planned for 2026-10-30


def cohort(season: Path, name: str = "A1") -> dict[str, Any]:
    return next(c for c in data_of(season.read_text())["cohort"] if c["id"] == name)


def answers(season: Path, *words: str) -> list[dict[str, Any]]:
    ran = run("record", season, *words, "--json")
    assert ran.status == 0, ran.said
    found: list[dict[str, Any]] = json.loads(ran.out)["answers"]
    return found


def moved(answer: dict[str, Any], stage: str) -> tuple[str, str]:
    row = next(r for r in answer["stages"] if (r["cohort"], r["stage"]) == ("A1", stage))
    return row["old"]["likely"], row["new"]["likely"]


def test_a_dry_run_shows_what_moves_for_both_answers_and_writes_nothing(season: Path) -> None:
    before = season.read_bytes()
    hold, shift = answers(season, *LATE, "--dry-run")
    assert (hold["lights_off"], shift["lights_off"]) == ("hold", "shift")
    assert (hold["saved"], shift["saved"]) == (False, False)
    for answer in (hold, shift):
        assert moved(answer, "transplant") == ("2026-10-30", "2026-11-08")
        assert moved(answer, "lights_on") == ("2026-10-30", "2026-11-08")
        assert len([r for r in answer["stages"] if r["cohort"] == "A1"]) == 11
        scouts = [t for t in answer["tasks"] if t["what"] == "Scout pests"]
        assert (scouts[0]["old"], scouts[0]["new"]) == ("2026-11-06", "2026-11-15")
    for stage in ("lights_off", "trigger", "flowering", "harvest"):
        old, new = moved(hold, stage)
        assert old == new
    assert moved(shift, "lights_off") == ("2027-02-10", "2027-02-19")
    assert moved(shift, "trigger") == ("2027-02-10", "2027-02-19")
    for stage in ("induced", "flowering", "harvest", "dried"):
        old, new = moved(shift, stage)
        assert old < new
    # from the transplant to the induction of 25 Feb: 118 days; nine fewer where lights off is held
    (_, held), (induced, later) = moved(hold, "induced"), moved(shift, "induced")
    assert held == induced == "2027-02-25"
    assert hold["growth_d"] == {"old": 118, "new": 109}
    assert shift["growth_d"] == {
        "old": 118,
        "new": 109 + (date.fromisoformat(later) - date.fromisoformat(induced)).days,
    }
    assert season.read_bytes() == before
    assert sorted(p.name for p in season.parent.iterdir()) == [season.name]


def test_in_text_both_answers_are_headed_by_what_they_come_to(season: Path) -> None:
    before = season.read_bytes()
    ran = run("record", season, *LATE, "--dry-run")
    assert ran.status == 0
    hold, shift = ran.out.split("== shift")
    assert hold.startswith("== hold lights off: 109 days of growth, harvest ")
    assert shift.startswith(" lights off: 114 days of growth, harvest ")
    assert "transplant  30 Oct -> 8 Nov  9 d later" in hold
    assert "lights off  10 Feb  stays" in hold
    assert "lights off  10 Feb -> 19 Feb  9 d later" in shift
    assert "days of growth before induction: 118 -> 109" in hold
    assert "Scout pests  6 Nov -> 15 Nov" in hold
    assert max(map(len, ran.out.splitlines())) <= 80
    assert ran.out.endswith("Nothing saved.\n")
    assert season.read_bytes() == before


@pytest.mark.parametrize(
    ("flag", "lights_off"),
    [
        ((), None),
        (("--lights-off", "hold"), None),
        (("--lights-off", "shift"), date(2027, 2, 19)),
        (("--lights-off", "2027-02-15"), date(2027, 2, 15)),
        (("--lights-off", "15 feb"), date(2027, 2, 15)),
        (("--lights-off", "+3"), date(2027, 2, 13)),
    ],
)
def test_yes_saves_without_asking(season: Path, flag: tuple[str, ...], lights_off: date | None) -> None:
    ran = run("record", season, *LATE, "--yes", *flag)
    assert ran.status == 0, ran.said
    assert "\nSaved: A1 transplant recorded Sun 8 Nov 2026 (9 d late); lights off " in ran.out
    found = cohort(season)
    assert found["recorded"]["transplant"] == date(2026, 11, 8)
    assert found["planned"]["lights_off"] == date(2027, 2, 10)  # the first intention stays
    assert found.get("replanned", {}).get("lights_off") == lights_off
    assert run("tasks", season).out == "The saved tasks agree with the plan.\n"


def test_where_nobody_is_asked_many_tasks_are_counted_and_saved_is_in_sight(season: Path) -> None:
    looked = run("record", season, *LATE, "--lights-off", "hold", "--dry-run", "--yes").out.split(
        "tasks move"
    )[1]
    saved = run("record", season, *LATE, "--yes").out.split("tasks move")[1]
    assert looked.startswith(":\n")
    assert saved.startswith(": ")
    assert " later" in saved.splitlines()[0]
    assert len(saved.splitlines()) < len(looked.splitlines())
    assert "Saved: A1 transplant recorded" in saved


@pytest.mark.parametrize("flag", [(), ("--all",)])
def test_all_lists_each_task_where_nobody_is_asked_too(season: Path, flag: tuple[str, ...]) -> None:
    ran = run("record", season, *LATE, "--yes", *flag)
    assert ("6 Nov -> 15 Nov" in ran.out) == bool(flag)


def test_lines_fit_80_columns_however_long_the_work_is_named(season: Path) -> None:
    long = "Scout pests on the upper side and on the lower side of each third leaf of the tagged plants"
    season.write_text(season.read_text().replace("Scout pests", long))
    out = run("record", season, *LATE, "--dry-run").out
    assert max(map(len, out.splitlines())) <= 80


def test_json_says_what_was_saved(season: Path) -> None:
    (answer,) = answers(season, *LATE, "--yes", "--lights-off", "shift")
    assert (answer["saved"], answer["lights_off"]) == (True, "shift")
    assert answer["change"].startswith("A1 transplant recorded Sun 8 Nov 2026 (9 d late)")


def test_json_asks_nothing(season: Path) -> None:
    ran = run("record", season, *LATE, "--json", typed="hold\n")
    assert (ran.status, ran.out) == (2, "")
    assert "--json asks nothing: add --dry-run to look, or --yes to save" in ran.err


@pytest.mark.parametrize(("typed", "lights_off"), [("hold\n", None), ("Shift \n", date(2027, 2, 19))])
def test_the_answer_typed_is_the_one_saved(season: Path, typed: str, lights_off: date | None) -> None:
    ran = run("record", season, *LATE, typed=typed)
    assert ran.status == 0
    assert "Save which: hold or shift? Enter saves nothing: " in ran.out
    assert cohort(season).get("replanned", {}).get("lights_off") == lights_off
    assert "transplant" in cohort(season)["recorded"]


@pytest.mark.parametrize("typed", ["\n", "no\n", "yes\n", "held\n"])
def test_any_other_answer_saves_nothing(season: Path, typed: str) -> None:
    before = season.read_bytes()
    ran = run("record", season, *LATE, typed=typed)
    assert (ran.status, ran.out[-15:]) == (0, "Nothing saved.\n")
    assert season.read_bytes() == before


def test_with_nobody_to_answer_nothing_is_saved(season: Path) -> None:
    before = season.read_bytes()
    ran = run("record", season, *LATE)
    assert ran.status == 2
    assert "nothing saved: no answer; add --yes" in ran.err
    assert season.read_bytes() == before


@pytest.mark.parametrize(("typed", "saved"), [("y\n", True), ("YES\n", True), ("\n", False), ("n\n", False)])
def test_where_lights_off_is_not_at_stake_it_asks_only_whether_to_save(
    season: Path, typed: str, saved: bool
) -> None:
    ran = run("record", season, "D1", "seeding", "20 oct", typed=typed)
    assert ran.status == 0
    assert "Save? [y/N] " in ran.out
    assert "hold" not in ran.out
    assert ("recorded" in cohort(season, "D1")) is saved
    (answer,) = answers(season, "D1", "seeding", "20 oct", "--dry-run")
    assert answer["lights_off"] is None


def test_recording_it_again_writes_nothing(season: Path) -> None:
    run("record", season, *LATE, "--yes")
    before = season.read_bytes()
    ran = run("record", season, "A1", "transplant", "2026-11-08", "--yes")
    assert ran.status == 0
    assert ran.out.endswith("No change: already saved.\n")
    assert season.read_bytes() == before


@pytest.mark.parametrize("words", [("--lights-off", "hold"), ("--lights-off", "shift")])
def test_undo_restores_the_bytes(season: Path, words: tuple[str, ...]) -> None:
    before = season.read_bytes()
    run("record", season, *LATE, "--yes", *words)
    assert season.read_bytes() != before
    ran = run("undo", season)
    assert ran.status == 0
    assert ran.out.startswith("Undone: A1 transplant recorded Sun 8 Nov 2026 (9 d late)")
    assert season.read_bytes() == before


def test_undo_goes_back_change_by_change_until_there_is_none(season: Path) -> None:
    versions = [season.read_bytes()]
    one = data_of(season.read_text())["task"][0]["id"]
    for words in (
        ("done", season, one),
        ("record", season, *LATE, "--yes"),
        ("plan", season, "B1", "sticking", "+4", "--yes"),
    ):
        assert run(*words).status == 0
        versions.append(season.read_bytes())
    assert len(set(versions)) == 4
    for version in reversed(versions[:-1]):
        assert run("undo", season).status == 0
        assert season.read_bytes() == version
    ran = run("undo", season)
    assert ran.status == 2
    assert str(season) in ran.err
    assert season.read_bytes() == versions[0]


def test_a_change_in_the_history_that_would_steer_the_terminal_is_shown_as_text(season: Path) -> None:
    run("record", season, *LATE, "--yes")
    (history,) = season.parent.glob("*.history.jsonl")
    history.write_text(history.read_text().replace("A1 transplant recorded", "A1 \\u001b[2J recorded"))
    ran = run("undo", season)
    assert "\x1b" not in ran.said


# --- dates as they are typed


@pytest.mark.parametrize(
    ("typed", "day"),
    [
        (("2026-11-08",), date(2026, 11, 8)),
        (("2026-11-8",), date(2026, 11, 8)),
        (("8 nov",), date(2026, 11, 8)),
        (("8", "nov"), date(2026, 11, 8)),
        (("+9",), date(2026, 11, 8)),
        (("-2",), date(2026, 10, 28)),
        (("saturday",), date(2026, 11, 7)),
        (("mon",), date(2026, 11, 9)),
        (("today",), date(2026, 11, 9)),
        (("yesterday",), date(2026, 11, 8)),
    ],
)
def test_a_date_may_be_typed_as_people_do(season: Path, typed: tuple[str, ...], day: date) -> None:
    ran = run("record", season, "A1", "transplant", *typed, "--yes")
    assert ran.status == 0, ran.said
    assert cohort(season)["recorded"]["transplant"] == day


@pytest.mark.parametrize("stage", [("lights_off",), ("lights-off",), ("Lights Off",), ("lights", "off")])
def test_a_stage_may_be_typed_as_people_do(season: Path, stage: tuple[str, ...]) -> None:
    ran = run("plan", season, "A1", *stage, "2027-02-12", "--yes")
    assert ran.status == 0, ran.said
    assert cohort(season)["replanned"]["lights_off"] == date(2027, 2, 12)


# --- what cannot be recorded

REFUSED = [
    (("A1", "transplant", "2026-11-10"), "is after today, Mon 9 Nov 2026; record what has happened"),
    (("A1", "transplant", "2026-08-20"), "outside the season, 1 Sep 2026 to 30 Jun 2027"),
    (
        ("A1", "transplant", "2026-10-01"),
        "is before seeding on 5 Oct 2026; it must be on 5 Oct 2026 or later",
    ),
    (("A1", "transplant", "0001-01-01"), "outside the season"),
    (("A1", "transplant", "9999-12-31"), "is after today"),
    (("A1", "transplant", "soon"), '"soon" is not a date; write 2026-11-09, 9 nov'),
    (("A1", "transplant", "2026-02-30"), "is not a day of the calendar"),
    (("A1", "transplant", "tue 8 nov"), "8 Nov 2026 is a Sunday"),
    (("A1", "transplnt", "today"), 'did you mean "transplant"?'),
    (("A1", "rooted", "today"), "cohort A1 has no rooted: it starts from seed"),
    (("B1", "transplant", "today"), "it has no nursery"),
    (("B1", "lights_off", "today"), "its place F1 has no lamps"),
    (("A11", "transplant", "today"), 'did you mean "A1"?'),
    (("A1", "transplant"), "give a COHORT, a STAGE and a DATE"),
    ((), "give a COHORT, a STAGE and a DATE"),
    (
        (*LATE, "--lights-off", "move"),
        '--lights-off "move" is not a date; write 2026-11-09, 9 nov, +9 (days from the plan), a weekday, in 2 weeks, 2026-W46 (its Monday), or today; or write '
        "hold or shift",
    ),
    ((*LATE, "--lights-off", "2030-01-01"), "outside the season"),
    ((*LATE, "--lights-off", "2026-09-10"), "is before"),
    (("D1", "seeding", "today", "--lights-off", "shift"), "D1 has no lights-off date"),
]


@pytest.mark.parametrize(
    ("words", "said"), REFUSED, ids=lambda v: " ".join(v) if isinstance(v, tuple) else ""
)
def test_what_cannot_be_recorded_is_told_and_nothing_is_written(
    season: Path, words: tuple[str, ...], said: str
) -> None:
    before = season.read_bytes()
    ran = run("record", season, *words, "--yes")
    assert (ran.status, ran.out) == (2, "")
    assert said in ran.err
    assert season.read_bytes() == before
    assert sorted(p.name for p in season.parent.iterdir()) == [season.name]


def test_a_projected_stage_cannot_be_planned(season: Path) -> None:
    ran = run("plan", season, "A1", "flowering", "2027-03-20", "--yes")
    assert ran.status == 2
    assert "flowering is worked out, not planned" in ran.err


def test_a_file_with_problems_is_not_recorded_in(season: Path) -> None:
    season.write_text(season.read_text().replace("latitude = -34.3", "latitude = 120"))
    before = season.read_bytes()
    ran = run("record", season, *LATE, "--yes")
    assert ran.status == 2
    assert "latitude is 120; it must be from -90 to 90" in ran.err
    assert season.read_bytes() == before


def test_one_task_moves_in_the_singular(season: Path) -> None:
    ran = run("plan", season, "D1", "harvest", "2027-01-20", "--dry-run")
    assert "  1 task moves:\n" in ran.out


def test_a_date_given_for_lights_off_in_the_past_is_questioned(season: Path) -> None:
    words = ("record", season, "A1", "transplant", "2026-11-02", "--lights-off", "2026-11-05", "--dry-run")
    ran = run(*words)
    assert ran.status == 0, ran.said
    assert "  ! Thu 5 Nov 2026 is before today\n" in ran.out
