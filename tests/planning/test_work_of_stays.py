"""Work of a cohort that stands in several places in turn: where it is, for how long, and how much of it."""

from datetime import date, timedelta
from typing import Any

import pytest

from calendar_tui.planning.changes.replan import refresh
from tests.planning.test_several_stays import CARRIED, THREE, data_with, planned

WATER = {
    "id": "water",
    "what": "Water the pots",
    "stage": "transplant",
    "repeat": "FREQ=DAILY",
    "until": "harvest",
    "place_kinds": ["hoop house"],
}


def tasks_of(data: dict[str, Any], chore: dict[str, Any]) -> list[Any]:
    data["chore"], data["cohort"] = [chore], data["cohort"][:1]
    return [move.new for move in refresh(planned(data)).tasks]


def test_work_is_where_the_cohort_stands_on_its_date():
    every = {**WATER, "place_kinds": ["hoop house", "field"], "since": date(2026, 9, 1)}
    found = tasks_of(data_with(THREE), every)
    assert {t.place for t in found if t.date < CARRIED} == {"H1"}
    assert {t.place for t in found if t.date >= CARRIED} == {"F1"}


@pytest.mark.parametrize("together", [{}, {"together": "place"}])
def test_work_for_a_kind_of_place_ends_when_the_pots_are_carried_into_another(together: dict[str, str]):
    found = tasks_of(data_with(THREE), {**WATER, **together})
    assert max(t.date for t in found) == date(2026, 12, 25)
    assert {t.place for t in found} == {"H1"}


def test_work_by_area_takes_that_of_the_place_where_the_cohort_stands_on_its_date():
    data = data_with(THREE)
    house, field = data["place"][1], data["place"][2]
    house["area_m2"], field["area_m2"] = 200, 1000
    del data["cohort"][0]["plants"]
    weeding = WATER | {"place_kinds": ["hoop house", "field"], "hours": 1.0, "per": "100 m2"}
    hours = {(task.place, task.hours) for task in tasks_of(data, weeding)}
    assert hours == {("H1", 2.0), ("F1", 10.0)}


def test_tasks_keep_their_numbers_where_the_work_stops_for_a_while():
    """Back into the house after ten days: day for day the number is that of a cohort that never left."""
    back = [*THREE, {"place": "H1", "from": CARRIED + timedelta(days=10)}]
    away = {t.date: t.n for t in tasks_of(data_with(back), WATER)}
    stayed = {t.date: t.n for t in tasks_of(data_with(THREE[:2]), WATER)}
    assert CARRIED not in away
    assert all(stayed[day] == n for day, n in away.items() if day in stayed)


LAMP_WORK = {"what": "Lamps", "lamps": True}


@pytest.mark.parametrize(
    ("chore", "place"),
    [
        ({"stage": "lights_on", "offset_d": -14, "since": date(2026, 9, 1)}, "H1"),
        ({"stage": "lights_on", "repeat": "FREQ=DAILY", "until": "lights_off"}, "H1"),
        ({"stage": "lights_off"}, "H1"),
        ({"stage": "lights_off", "offset_d": 7}, "H1"),
        ({"stage": "lights_off", "offset_d": 5, "repeat": "FREQ=DAILY", "until": "harvest"}, "F1"),
    ],
)
def test_work_on_lamps_is_where_they_hang_and_checks_of_plants_go_along(chore: dict[str, Any], place: str):
    """Carried into the field on the day of lights off."""
    stays = [*THREE[:2], {"place": "F1", "from": "lights_off"}]
    found = tasks_of(data_with(stays), {"id": "lamps", **LAMP_WORK, **chore})
    assert {t.place for t in found} == {place}


def test_no_lamps_are_walked_where_none_hang():
    walk = {"id": "walk", **LAMP_WORK, "stage": "lights_on", "repeat": "FREQ=DAILY", "until": "lights_off"}
    found = tasks_of(data_with(THREE), walk)
    assert max(t.date for t in found) == date(2026, 12, 25)
