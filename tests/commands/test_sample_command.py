"""Bags by command: the week and its budget, a trip recorded, ids read with slips, sent, lost and cut again."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from sampled_season import TODAY, sampled_season
from small_season import run

from calendar_tui.season.sample_ids import grouped, is_sound
from tests.season_data import data_of

BUDGET = "\n[capacity]\nsamples_per_week = 4\n"


@pytest.fixture
def season(tmp_path: Path) -> Path:
    return sampled_season(tmp_path)


def sample(season: Path, *words: str) -> str:
    ran = run("sample", season, *words, today=TODAY)
    assert ran.status == 0, ran.said
    return " ".join(ran.out.split())


def refused(season: Path, *words: str) -> str:
    before = season.read_bytes()
    ran = run("sample", season, *words, "--yes", today=TODAY)
    assert ran.status != 0
    assert season.read_bytes() == before
    return " ".join(ran.said.split())


def bags(season: Path) -> list[dict[str, Any]]:
    found: list[dict[str, Any]] = data_of(season.read_text()).get("sample", [])
    return found


def tasks(season: Path) -> list[dict[str, Any]]:
    found: list[dict[str, Any]] = data_of(season.read_text())["task"]
    return [task for task in found if task.get("chore") == "samples"]


def test_the_week_lists_the_bags_of_the_trip_by_cohort_and_position(season: Path) -> None:
    text = sample(season)
    assert "Bags from Mon 15 Mar 2027 to Sun 21 Mar 2027 Tue 16 Mar: 6 bags of A1 D1, 6 to cut" in text
    assert "A1 top to cut; middle to cut; bottom to cut" in text
    assert "5 plants a bag, from seed: results scatter by about 13 %" in text
    assert "PRE-TESTS, NOT OFFICIAL" in text


def test_under_a_budget_it_tells_what_is_given_up(tmp_path: Path) -> None:
    season = sampled_season(tmp_path, BUDGET)
    text = sample(season)
    assert "Tue 16 Mar: 6 bags of A1 D1, 4 to cut" in text
    assert "(samples a week)" in text
    assert "given up: A1 middle" in text
    told = json.loads(run("sample", season, "--json", today=TODAY).out)
    assert [bag["kept"] for bag in told["week"]["bags"]].count(True) == 4
    assert {bag["by"] for bag in told["given_up"]} == {"samples_per_week"}


def test_bags_given_up_for_two_reasons_are_told_with_each(tmp_path: Path) -> None:
    season = sampled_season(tmp_path, "\n[capacity]\nsamples_per_week = 5\nsamples = 9\n")
    text = sample(season)
    assert "(samples a week and samples a season)" in text
    assert "given up: A1 bottom" in text or "given up: A1 middle" in text
    assert "(samples a week)" in text
    assert "(samples a season)" in text


def test_a_trip_is_one_change_with_an_id_for_each_bag_and_ticks_its_task(season: Path) -> None:
    before = season.read_bytes()
    text = sample(season, "trip", "--yes")
    assert len(bags(season)) == 6
    assert all(is_sound(bag["id"]) and grouped(bag["id"]) in text for bag in bags(season))
    assert {(bag["cohort"], bag["position"]) for bag in bags(season)} == {
        (cohort, position) for cohort in ("A1", "D1") for position in ("top", "middle", "bottom")
    }
    assert {(bag["plants"], bag["laboratory"], bag["state"]) for bag in bags(season)} == {(5, "lab", "taken")}
    (done,) = [task for task in tasks(season) if task.get("state") == "done"]
    assert str(done["date"]) == TODAY
    assert all(grouped(bag["id"]) in done["fact"] for bag in bags(season))
    assert run("check", season, today=TODAY).status == 0
    assert "0 to cut" in sample(season)
    assert run("undo", season, today=TODAY).status == 0
    assert season.read_bytes() == before


def test_a_trip_cut_on_the_day_before_is_the_one_planned_for_the_next(season: Path) -> None:
    text = sample(season, "trip", "--date", "2027-03-15", "--yes")
    assert "planned for Tue 16 Mar 2027" in text
    assert {str(bag["date"]) for bag in bags(season)} == {"2027-03-15"}
    assert "0 to cut" in sample(season)


def test_the_budget_holds_the_trip_too(tmp_path: Path) -> None:
    season = sampled_season(tmp_path, BUDGET)
    sample(season, "trip", "--yes")
    assert len(bags(season)) == 4


def test_bags_of_cohorts_take_positions_plants_and_a_day(season: Path) -> None:
    sample(season, "A1", "d1", "--positions", "top, side", "--plants", "10", "--date", "2027-03-15", "--yes")
    assert len(bags(season)) == 4
    assert {(str(b["date"]), b["plants"]) for b in bags(season)} == {("2027-03-15", 10)}
    assert {b["position"] for b in bags(season)} == {"top", "side"}


def test_bags_for_a_day_to_come_are_planned_and_no_task_is_ticked(season: Path) -> None:
    sample(season, "trip", "--date", "2027-03-23", "--yes")
    assert {bag["state"] for bag in bags(season)} == {"planned"}
    assert all(task.get("state", "open") == "open" for task in tasks(season))
    first = bags(season)[0]["id"]
    sample(season, first, "taken", "--yes")
    assert bags(season)[0]["state"] == "taken"


def test_the_same_bags_are_not_recorded_twice_unasked(season: Path) -> None:
    sample(season, "A1", "--yes")
    assert "recorded already; for further ones give --positions" in refused(season, "A1")
    text = sample(season, "A1", "--positions", "top", "--yes")
    assert "A1 top has a bag of this day already" in text
    assert len(bags(season)) == 4


def test_an_id_is_read_as_it_is_meant(season: Path) -> None:
    sample(season, "A1", "--yes")
    name = bags(season)[0]["id"]
    for typed in (
        name.lower(),
        grouped(name),
        f"{name[:3]} {name[3:]}",
        name.replace("1", "l").replace("0", "o"),
    ):
        assert grouped(name) in sample(season, *typed.split())


def test_a_slip_in_an_id_is_told_with_the_nearest(season: Path) -> None:
    sample(season, "A1", "--yes")
    name = bags(season)[0]["id"]
    wrong = name[:-1] + ("2" if name[-1] != "2" else "3")
    text = refused(season, wrong, "sent")
    assert f'the id is "{wrong}"' in text
    assert f"near it in this season: {grouped(name)}" in text


def test_a_sound_id_of_no_bag_is_told(season: Path) -> None:
    assert "26A-1TA is a sound id, but no bag of this season has it" in refused(season, "26A1TA", "lost")


def test_several_bags_are_sent_at_once_on_a_day_in_words(season: Path) -> None:
    sample(season, "trip", "--date", "2027-03-15", "--yes")
    ids = [bag["id"] for bag in bags(season)]
    sample(season, *ids, "sent", "16", "mar", "--yes")
    assert {(bag["state"], str(bag["sent"])) for bag in bags(season)} == {("sent", TODAY)}
    text = sample(season)
    # 3, 5 or 7 days from the day it is taken in.
    assert "At a laboratory" in text
    assert "due Sun 21 Mar, at the latest Tue 23 Mar" in text


@pytest.mark.parametrize(
    ("day", "right"),
    [("14 mar 2027", "cannot be sent before"), ("17 mar 2027", "is after today")],
)
def test_a_bag_is_not_sent_before_it_is_cut_nor_in_the_future(season: Path, day: str, right: str) -> None:
    sample(season, "A1", "--yes")
    assert right in refused(season, bags(season)[0]["id"], "sent", day)


def test_a_lost_bag_is_cut_again(season: Path) -> None:
    sample(season, "A1", "--yes")
    name = bags(season)[0]["id"]
    sample(season, name, "lost", "--yes")
    assert "top to cut" in sample(season)
    sample(season, "--again", grouped(name), "--yes")
    again = bags(season)[-1]
    assert (again["again"], again["position"], again["cohort"], again["state"]) == (
        name,
        "top",
        "A1",
        "taken",
    )
    assert "top to cut" not in sample(season).split("D1")[0]


def test_a_word_that_is_nothing_is_told(season: Path) -> None:
    assert '"Z9" is not a cohort of this season' in refused(season, "Z9")
    assert '"tomorow" is neither a cohort nor the id of a bag' in refused(season, "A1", "tomorow")
    name = json.loads(run("sample", season, "A1", "--json", "--yes", today=TODAY).out)["bags"][0]["id"]
    assert '"posted" is neither the id of a bag nor what becomes of one' in refused(season, name, "posted")


@pytest.mark.parametrize(
    ("words", "right"),
    [
        (("A1", "--plants", "0"), "write one from 1 to 1000"),
        (("A1", "--positions", ","), "write such as top,middle,bottom"),
        (("trip", "--date", "2027-02-18"), "near it are Tue 2 Mar and Tue 9 Mar"),
        (("--plants", "5"), "name cohorts, or write trip"),
        (("trip", "A1"), "is more than a trip"),
    ],
)
def test_what_cannot_be_meant_is_refused_with_what_would_be_right(
    season: Path, words: tuple[str, ...], right: str
) -> None:
    assert right in refused(season, *words)


def test_bags_cut_in_a_place_that_is_closed_after_a_spray_are_doubted(tmp_path: Path) -> None:
    spray = '\n[[spray]]\nid = "s1"\ndate = 2027-03-16\nplace = "H1"\nproduct = "Sulphur"\nend = "08:00"\nreentry = "24 h"\n'
    season = sampled_season(tmp_path, spray)
    text = sample(season, "A1", "D1", "--dry-run")
    assert (
        "nobody enters H1 to cut bags of A1: it is closed after a spray until 08:00 on Wed 17 Mar 2027"
        in text
    )
    assert "bags of D1:" not in text
    assert "Do not enter: H1 is closed from Tue 16 Mar 00:00 until Wed 17 Mar 08:00" in sample(season)


def test_before_flowering_a_bag_is_doubted(season: Path) -> None:
    assert "a bag cut before it does not count in the trend" in sample(
        season, "A1", "--date", "2027-02-20", "--dry-run"
    )


def test_json_gives_the_bags_that_were_recorded(season: Path) -> None:
    told = json.loads(run("sample", season, "trip", "--json", "--yes", today=TODAY).out)
    assert [bag["id"] for bag in told["bags"]] == [bag["id"] for bag in bags(season)]
    assert told["answers"][0]["saved"] is True


def test_a_trip_that_is_ticked_tells_that_its_bags_have_no_ids_yet(season: Path) -> None:
    task = next(task["id"] for task in tasks(season) if str(task["date"]) == TODAY)
    ran = run("done", season, task, today=TODAY)
    text = " ".join(ran.out.split())
    assert "bags of A1, D1 are not recorded yet" in text
    assert "calendar-tui sample A1 D1 --date 2027-03-16" in text
    run("reopen", season, task, today=TODAY)
    sample(season, "trip", "--yes")
    other = next(task["id"] for task in tasks(season) if str(task["date"]) == "2027-03-09")
    assert "2027-03-09" in " ".join(run("done", season, other, "--on", "due", today=TODAY).out.split())


def test_a_date_years_away_is_doubted(season: Path) -> None:
    text = sample(season, "A1", "--date", "2021-03-16", "--dry-run")
    assert "!" in text
    assert "season" in text.partition("!")[2]


def test_a_bag_is_set_and_taken_out_by_its_id_as_the_label_is_read(season: Path) -> None:
    sample(season, "A1", "--yes")
    first, second, _ = (bag["id"] for bag in bags(season))
    ran = run(
        "set", season, "sample", grouped(first).lower(), grouped(second), "note", "wet", "--yes", today=TODAY
    )
    assert ran.status == 0, ran.said
    assert [bag.get("note") for bag in bags(season)] == ["wet", "wet", None]
    assert run("remove", season, "sample", grouped(first).lower(), "--yes", today=TODAY).status == 0
    assert len(bags(season)) == 2


def test_tagged_plants_stand_with_their_trip(tmp_path: Path) -> None:
    season = sampled_season(tmp_path)
    season.write_text(season.read_text().replace('weekday = "tue"', 'weekday = "tue"\ntagged = ["3", "17"]'))
    assert "tagged plants: 3, 17; cut each time" in sample(season)


def test_bags_with_ids_ahead_that_were_cut_tick_their_trip(season: Path) -> None:
    sample(season, "trip", "--date", "2027-03-23", "--yes")
    ids = [bag["id"] for bag in bags(season)]
    before = season.read_bytes()
    ran = run("sample", season, *map(grouped, ids), "taken", "--yes", today="2027-03-23")
    assert ran.status == 0, ran.said
    (trip,) = [task for task in tasks(season) if str(task["date"]) == "2027-03-23"]
    assert (trip["state"], str(trip["done_on"])) == ("done", "2027-03-23")
    assert trip["fact"] == " ".join(map(grouped, ids))
    assert run("undo", season, "--yes", today="2027-03-23").status == 0
    assert season.read_bytes() == before


def test_bags_cut_before_their_day_are_cut_today(season: Path) -> None:
    sample(season, "A1", "--date", "2027-03-18", "--yes")
    sample(season, *(bag["id"] for bag in bags(season)), "taken", "--yes")
    assert {(bag["state"], str(bag["date"])) for bag in bags(season)} == {("taken", TODAY)}


def test_a_trip_ticked_whose_bags_have_ids_ahead_tells_how_to_record_the_cut(season: Path) -> None:
    sample(season, "trip", "--date", "2027-03-23", "--yes")
    (trip,) = [task for task in tasks(season) if str(task["date"]) == "2027-03-23"]
    ran = run("done", season, trip["id"], "--yes", today="2027-03-23")
    first = grouped(bags(season)[0]["id"])
    assert "6 bags have their ids and no cut yet" in " ".join(ran.out.split())
    assert f"calendar-tui sample {first}" in " ".join(ran.out.split())


def test_a_trip_without_a_plan_that_is_ticked_tells_how_to_record_its_bags(season: Path) -> None:
    text = season.read_text()
    season.write_text(text[: text.index("[[sampling]]")] + text[text.index("[records]") :])
    trip = next(task for task in tasks(season) if str(task["date"]) == TODAY)
    ran = run("done", season, trip["id"], "--yes", today=TODAY)
    assert f"calendar-tui sample A1 D1 --date {TODAY}" in " ".join(ran.out.split())


def test_the_chore_of_cutting_bags_tells_the_plan_that_decides_on_its_days(season: Path) -> None:
    ran = run("chores", season, "samples", today=TODAY)
    text = " ".join(ran.out.split())
    plan = "by the sampling plan: weekly, every 7 d on Tue from flowering to the last pass, of A1, D1"
    assert f"one task a trip, {plan}" in text
    assert "in no plan: sampling, every week until harvest" in text
    assert json.loads(run("chores", season, "samples", "--json", today=TODAY).out)[0]["samplings"] == [
        "weekly"
    ]


def test_how_many_plants_are_worth_it_is_printed_and_stands_so_in_the_docs(season: Path) -> None:
    ran = run("sample", season, "--plants", "help", today=TODAY)
    assert ran.status == 0
    assert "where 1 % are over it     299" in ran.out
    assert ran.out in (Path(__file__).parents[2] / "docs" / "sampling.md").read_text(encoding="utf-8")
    assert max(map(len, ran.out.splitlines())) <= 80


def test_how_many_plants_are_worth_it_is_json_where_that_is_asked_for(season: Path) -> None:
    ran = run("sample", season, "--plants", "help", "--json", today=TODAY)
    told = json.loads(ran.out)
    assert {"plants_cv": 25, "plants": 10, "result_cv": 10.61} in told["in_a_bag"]
    assert {"plants_cv": 25, "within": 15, "spread_known": 11, "spread_from_them": 14} in told["for_a_mean"]
    assert [one["plants"] for one in told["to_meet_one"]] == [299, 59, 29]
    assert {"acres": 173, "plants": 110, "mark": "memory: check with your authority"} in told["of_a_lot"]


def test_the_tagged_plants_are_told_where_bags_are_listed_and_cut(season: Path) -> None:
    season.write_text(
        season.read_text().replace('id = "weekly"', 'id = "weekly"\ntagged = ["P3", "P9", "P14"]')
    )
    assert "tagged plants: P3, P9, P14" in run("sample", season, today=TODAY).out
    week = json.loads(run("sample", season, "--json", today=TODAY).out)["week"]
    assert week["bags"][0]["tagged"] == ["P3", "P9", "P14"]
    ran = run("sample", season, "trip", "--dry-run", today=TODAY)
    assert "Tagged plants of A1: P3, P9, P14" in ran.out
    assert "Tagged plants of D1: P3, P9, P14" in ran.out


def test_what_the_bags_that_are_cut_have_taken_of_a_budget_is_told_beside_it(season: Path) -> None:
    season.write_text(season.read_text() + "\n[capacity]\nsample_money = 300\n")
    assert "are cut already" not in run("sample", season, today=TODAY).out
    assert run("sample", season, "A1", "--yes", today=TODAY).status == 0
    told = " ".join(run("sample", season, today=TODAY).out.split())
    assert "(money a season); 3 bags for 150 money are cut already" in told


def test_cohorts_and_bags_may_be_joined_by_commas(season: Path) -> None:
    assert bags(season) == []
    text = sample(season, "a1,D1", "--dry-run")
    assert "6 bags cut of A1 D1" in text
    sample(season, "A1,", "D1", "--yes")
    first, second = (grouped(bag["id"]) for bag in bags(season)[:2])
    sample(season, f"{first},{second}", "lost", "--yes")
    assert [bag["state"] for bag in bags(season)[:2]] == ["lost", "lost"]
    assert '"A9" is neither a cohort' in refused(season, "A1,A9")


def test_what_is_asked_before_it_is_saved_has_another_mark_than_what_is_only_told(season: Path) -> None:
    ran = run("sample", season, "D1", "--positions", "crown", "--dry-run", today=TODAY)
    asked = [line for line in ran.out.splitlines() if line.startswith("  ? ")]
    assert "crown" in asked[0], ran.out
    told = json.loads(
        run("sample", season, "D1", "--positions", "crown", "--dry-run", "--json", today=TODAY).out
    )
    [answer] = told["answers"]
    questions = answer["questions"]
    assert "crown" in questions[0]
