"""Chores, crew and seed kinds that make no sense are told, each at its line."""

from datetime import date

import pytest

from calendar_tui.season.reading import read_season
from tests.planning.farm import farm_data


def problems(**tables):
    """The problems of the farm with these tables: a chore or crew, a variety's or cohort's keys."""
    data = farm_data()
    if "chore" in tables:
        data["chore"] = [{"id": "walk", "what": "Walk", "stage": "transplant"} | tables["chore"]]
    if "crew" in tables:
        data["crew"] = tables["crew"]
    data["variety"][0] |= tables.get("variety", {})
    return [(p.path, p.message) for p in read_season(data).problems]


WRONG_CHORES = [
    ({"repeat": "FREQ=WEEKLY"}, "repeat", "repeat and until go together"),
    ({"until": "harvest"}, "until", "repeat and until go together"),
    ({"until_offset_d": 5}, "until_offset_d", "needs repeat and until"),
    ({"hours": -1}, "hours", "hours is -1; it must be from 0 to 10000"),
    ({"per": "acre"}, "per", "one of: cohort, 100 plants, 100 m2, place"),
    ({"together": "house"}, "together", "one of: place, season"),
    ({"daylight": True}, "daylight", 'add time = "07:00"'),
    ({"once": "last"}, "once", 'add together = "place", "variety" or "season"'),
    (
        {"once": "last", "together": "place", "repeat": "FREQ=WEEKLY", "until": "harvest"},
        "once",
        "take once or repeat out",
    ),
    ({"once": "first", "together": "day"}, "once", "take once out"),
    (
        {"together": "variety", "repeat": "FREQ=WEEKLY", "until": "harvest"},
        "together",
        'is together by "place" or "season"',
    ),
    ({"time": "6 am"}, "time", "write a time of the 24-hour clock"),
    ({"shows": ["bag"]}, "shows", 'did you mean "bags"?'),
    ({"seed_kinds": ["feminized"]}, "seed_kinds", 'did you mean "feminised"?'),
    ({"records": "transplanted"}, "records", 'did you mean "transplant"?'),
    (
        {"records": "transplant", "repeat": "FREQ=WEEKLY", "until": "harvest"},
        "records",
        "a chore that repeats cannot record it",
    ),
    ({"records": "transplant", "together": "season"}, "records", "recorded for each cohort"),
    ({"untill": "harvest"}, "untill", 'did you mean "until"?'),
]


@pytest.mark.parametrize(("keys", "at", "said"), WRONG_CHORES)
def test_a_chore_that_makes_no_sense_is_told_at_its_key(keys, at, said):
    ((path, message),) = problems(chore=keys)
    assert path == ("chore", 0, at)
    assert said in message


def test_two_chores_of_one_id_are_told():
    data = farm_data()
    data["chore"].append({"id": "plant", "what": "Plant again", "stage": "transplant"})
    (problem,) = read_season(data).problems
    assert problem.path == ("chore", 5, "id")
    assert 'id "plant" is used by two chore records' in problem.message


WRONG_CREWS = [
    ({"work_days": ["mon", "tues"]}, ("crew", "work_days"), 'did you mean "tue"?'),
    ({"work_days": "mon-fri"}, ("crew", "work_days"), "write a list of: mon, tue"),
    ({"work_days": []}, ("crew", "work_days"), "write a list of: mon, tue"),
    ({"blocked": date(2026, 12, 25)}, ("crew", "blocked"), "write a list of dates"),
    ({"blocked": ["2026-12-25"]}, ("crew", "blocked"), "write a date without quotes"),
    ({"blocked": [date(2062, 12, 25)]}, ("crew", "blocked"), "is it the right year?"),
    ({"hours_per_week": {"nursery": -5}}, ("crew", "hours_per_week", "nursery"), "it must be from 0"),
    ({"hours_per_week": {"nursrey": 5}}, ("crew", "hours_per_week", "nursrey"), 'did you mean "nursery"?'),
    ({"hours_per_week": 40}, ("crew", "hours_per_week"), "write { name = value"),
]


@pytest.mark.parametrize(("crew", "at", "said"), WRONG_CREWS)
def test_a_crew_that_makes_no_sense_is_told_at_its_key(crew, at, said):
    ((path, message),) = problems(crew=crew)
    assert path == at
    assert said in message


def test_a_crew_may_have_roles_that_no_chore_names():
    assert problems(crew={"hours_per_week": {"visitor": 4}}) == []


def test_a_cohort_of_a_clone_is_not_sown():
    ((path, message),) = problems(variety={"seed_kind": "clone"})
    assert path == ("cohort", 0, "start")
    assert 'write start = "cutting"' in message


def test_a_task_s_new_fields_are_read():
    record = {
        "id": "b2k4",
        "date": date(2026, 12, 1),
        "what": "Scout",
        "cohorts": ["A1", "B1"],
        "amount": "2 trays",
        "why": "moved from Sun 29 Nov, no working day",
        "fact": "1 aphid",
    }
    reading = read_season({"format": 1, "task": [record]})
    (task,) = reading.readable.tasks
    assert not reading.task_problems
    assert (task.about, task.amount, task.why, task.fact) == (
        ("A1", "B1"),
        "2 trays",
        "moved from Sun 29 Nov, no working day",
        "1 aphid",
    )


@pytest.mark.parametrize(
    ("saved", "read"),
    [
        ("Sun 29 Nov is no working day", "moved from Sun 29 Nov, no working day"),
        (
            "Sun 29 Nov is no working day; 05:00 is before sunrise at 05:21",
            "moved from Sun 29 Nov, no working day; 05:00 is before sunrise at 05:21",
        ),
        ("Sun 29 Nov is no working day; it stays on its date",) * 2,
        ("05:00 is before sunrise at 05:21",) * 2,
    ],
)
def test_the_older_wording_of_a_task_s_moved_day_is_read_as_the_one_of_today(saved, read):
    record = {"id": "b2k4", "date": date(2026, 11, 30), "what": "Scout", "why": saved}
    reading = read_season({"format": 1, "task": [record]})
    (task,) = reading.readable.tasks
    assert not reading.task_problems
    assert task.why == read
