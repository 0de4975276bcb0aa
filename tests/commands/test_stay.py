"""Carrying a cohort's pots into another place: what moves is shown first, then saved, and undone to the byte."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from small_season import run

from tests.season_data import data_of

TODAY = "2026-12-08"
CARRY = ("A1", "stay", "F1", "2026-12-26")
STAYS = '[{ place = "N1" }, { place = "H1", from = "transplant" }, { place = "F1", from = 2026-12-26 }]'


def own(season: Path) -> dict[str, Any]:
    found: dict[str, Any] = data_of(season.read_text())["cohort"][0]
    return found


def tasks_of(season: Path) -> list[dict[str, Any]]:
    found: list[dict[str, Any]] = data_of(season.read_text())["task"]
    return found


def test_a_dry_run_shows_what_moves_and_writes_nothing(season: Path) -> None:
    before = season.read_bytes()
    ran = run("plan", season, *CARRY, "--dry-run", "--json", today=TODAY)
    assert ran.status == 0, ran.said
    (answer,) = json.loads(ran.out)["answers"]
    assert answer["saved"] is False
    moved = {(m["cohort"], m["stage"]): (m["old"]["likely"], m["new"]["likely"]) for m in answer["stages"]}
    old, new = moved["A1", "trigger"]
    assert old == "2027-02-10"
    assert new < old
    assert season.read_bytes() == before
    text = " ".join(run("plan", season, *CARRY, "--dry-run", today=TODAY).out.split())
    assert text.startswith("A1 stay in F1 planned from Sat 26 Dec 2026 ")
    assert "note: A1 stands in N1, H1 from 30 Oct, F1 from 26 Dec" in text


def test_yes_writes_stays_in_place_of_nursery_and_place_and_undo_gives_every_byte_back(season: Path) -> None:
    before = season.read_bytes()
    ran = run("plan", season, *CARRY, "--yes", today=TODAY)
    assert ran.status == 0, ran.said
    assert "\nSaved: A1 stay in F1 planned from Sat 26 Dec 2026\n" in ran.out
    assert own(season)["stays"] == data_of(f"stays = {STAYS}")["stays"]
    assert not own(season).keys() & {"nursery", "place", "part"}
    assert f"stays = {STAYS}\n" in season.read_text()
    assert run("check", season, today=TODAY).status == 0
    assert run("tasks", season, today=TODAY).out == "The saved tasks agree with the plan.\n"
    assert run("dates", season, "A1", today=TODAY).out.startswith(
        "A1  amber, 120 plants from seed, N1, H1 from 30 Oct, F1 from 26 Dec\n"
    )
    assert run("undo", season, today=TODAY).status == 0
    assert season.read_bytes() == before


def test_one_question_is_asked_and_no_answer_saves_nothing(season: Path) -> None:
    before = season.read_bytes()
    ran = run("plan", season, *CARRY, typed="n\n", today=TODAY)
    assert ran.out.count("[y/N]") == 1
    assert ran.out.endswith("Nothing saved.\n")
    assert season.read_bytes() == before


def test_work_done_and_recorded_dates_stay_as_they_are(season: Path) -> None:
    scouting = next(
        t for t in tasks_of(season) if t["what"] == "Scout pests" and t["date"].isoformat() < TODAY
    )
    run("record", season, "A1", "transplant", "2026-11-02", "--lights-off", "hold", "--yes", today=TODAY)
    run("done", season, scouting["id"], "--on", scouting["date"].isoformat(), today=TODAY)
    before, dates = tasks_of(season), own(season)["recorded"]
    assert run("plan", season, *CARRY, "--yes", today=TODAY).status == 0
    after = tasks_of(season)
    done = [t for t in before if t.get("state") == "done"]
    assert len(done) == 1
    assert all(t in after for t in done)
    assert [t for t in after if t["date"].isoformat() < "2026-12-26"] == [
        t for t in before if t["date"].isoformat() < "2026-12-26"
    ]
    assert {
        t["place"] for t in after if t["what"] == "Scout pests" and t["date"].isoformat() >= "2026-12-26"
    } == {"F1"}
    assert own(season)["recorded"] == dates


def test_a_stay_is_put_on_another_date_by_planning_it_again_and_recorded_when_it_happened(
    season: Path,
) -> None:
    run("plan", season, *CARRY, "--yes", today=TODAY)
    assert run("plan", season, "A1", "stay", "F1", "2 jan", "--yes", today=TODAY).status == 0
    assert [str(s.get("from")) for s in own(season)["stays"]] == ["None", "transplant", "2027-01-02"]
    ran = run("record", season, "A1", "stay", "F1", "2026-12-30", "--yes", today="2027-01-03")
    assert "Saved: A1 carried into F1 Wed 30 Dec 2026" in ran.out
    assert [str(s.get("from")) for s in own(season)["stays"]] == ["None", "transplant", "2026-12-30"]
    ran = run("plan", season, "A1", "stay", "F1", "2027-01-10", "--yes", today="2027-01-03")
    assert ran.status == 2
    assert "A1 stands in F1 since 30 Dec; to correct that date, record it" in ran.err


def test_a_stay_may_be_planned_with_a_stage_and_lie_between_two_others(season: Path) -> None:
    assert run("plan", season, "a1", "Stay", "f1", "lights", "off", "--yes", today=TODAY).status == 0
    assert own(season)["stays"][-1] == {"place": "F1", "from": "lights_off"}
    run("plan", season, "A1", "stay", "N1", "2027-01-05", "--yes", today=TODAY)
    assert [s["place"] for s in own(season)["stays"]] == ["N1", "H1", "N1", "F1"]
    assert run("check", season, today=TODAY).status == 0


def test_a_part_of_a_screened_place_is_named_behind_it(season: Path) -> None:
    text = season.read_text().replace(
        'id = "F1"\nkind = "field"', 'id = "F1"\nkind = "field"\nscreened = ["east", "west"]'
    )
    season.write_text(text.replace('place = "F1"\n', 'place = "F1"\npart = "west"\n'))
    ran = run("plan", season, "A1", "stay", "F1", "26 dec", "--dry-run", today=TODAY)
    assert (ran.status, "F1 is screened into parts; name one: F1 east, F1 west" in ran.err) == (2, True)
    assert run("plan", season, "A1", "stay", "F1", "East", "26", "dec", "--yes", today=TODAY).status == 0
    assert str(own(season)["stays"][-1]["from"]) == "2026-12-26"
    assert own(season)["stays"][-1]["part"] == "east"


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("plan", "A1", "stay"), "give the place"),
        (("plan", "A1", "stay", "F1"), "give the place"),
        (("plan", "A1", "stay", "F9", "2026-12-26"), '"F9" is not a place of this season'),
        (("plan", "A9", "stay", "F1", "2026-12-26"), '"A9" is not a cohort of this season'),
        (("plan", "A1", "stay", "F1", "soon"), '"soon" is not a date'),
        (("plan", "A1", "stay", "H1", "2026-12-26"), "A1 stands in H1 from its transplant on"),
        (
            ("plan", "A1", "stay", "F1", "2026-10-30"),
            "A1 comes into H1 on Fri 30 Oct 2026; give another date",
        ),
        (
            ("plan", "A1", "stay", "F1", "2026-10-01"),
            "A1 begins on Mon 5 Oct 2026; a further stay comes after that",
        ),
        (("plan", "A1", "stay", "F1", "2027-12-26"), "is outside the season"),
        (("plan", "A1", "stay", "F1", "trigger"), "no stay begins with trigger; write a date, or one of"),
        (("record", "A1", "stay", "F1", "2026-12-26"), "Sat 26 Dec 2026 is after today, Tue 8 Dec 2026"),
        (("plan", *CARRY, "--lights-off", "hold"), "--lights-off does not apply"),
    ],
)
def test_what_cannot_be_is_refused_and_nothing_is_written(
    season: Path, words: tuple[str, ...], said: str
) -> None:
    before = season.read_bytes()
    ran = run(words[0], season, *words[1:], "--yes", today=TODAY)
    assert ran.status == 2
    assert said in " ".join(ran.err.split())
    assert season.read_bytes() == before


def test_plants_in_the_ground_are_doubted_and_plants_in_pots_are_not(season: Path) -> None:
    warned = "A1 grows in the ground of H1 (hoop house), where no pot size is set: only plants in pots can be carried"
    assert warned in " ".join(run("plan", season, *CARRY, "--dry-run", today=TODAY).out.split())
    season.write_text(season.read_text().replace("area_m2 = 180\n", "area_m2 = 180\npot_l = 11.0\n"))
    assert "in the ground" not in run("plan", season, *CARRY, "--dry-run", today=TODAY).out


def test_the_pots_of_several_cohorts_are_carried_in_one_change(season: Path) -> None:
    before = season.read_bytes()
    ran = run("plan", season, "A1", "D1", "stay", "N1", "2027-01-05", "--yes", today=TODAY)
    assert "\nSaved: A1 D1 stay in N1 planned from Tue 5 Jan 2027\n" in ran.out
    last = [c["stays"][-1] for c in data_of(season.read_text())["cohort"] if "stays" in c]
    assert [(s["place"], str(s["from"])) for s in last] == [("N1", "2027-01-05")] * 2
    assert run("undo", season, today=TODAY).status == 0
    assert season.read_bytes() == before
    ran = run("plan", season, "--place", "F1", "stay", "N1", "2027-01-05", "--yes", today=TODAY)
    assert "\nSaved: B1 D1 stay in N1 planned from Tue 5 Jan 2027\n" in ran.out


def test_where_one_of_several_cannot_be_carried_none_is(season: Path) -> None:
    before = season.read_bytes()
    ran = run("plan", season, "A1", "B1", "D1", "stay", "F1", "2027-01-05", "--yes", today=TODAY)
    assert ran.status == 2
    assert "B1 stands in F1 from its sticking on" in ran.err
    assert "D1 stands in F1 from its seeding on" in ran.err
    assert ran.err.endswith("nothing saved.\n")
    assert season.read_bytes() == before
