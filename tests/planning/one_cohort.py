"""The farm with one cohort or two, and what quantities come of it."""

from datetime import date

from calendar_tui.planning.needs.sums import quantities
from calendar_tui.planning.plan import make_plan
from tests.planning.farm import TODAY, farm_data, season_of

OWN = {
    "germination": 0.90,
    "usable": 0.92,
    "survival": 0.95,
    "rooting": 0.8,
    "seed_kind": "feminised",
}


def data_of(*, cohort=None, variety=None, nursery=None, place=None, **tables):
    """The farm with only A1 (amber, N1, then H1), and more keys of it, its variety, its nursery and its place."""
    data = farm_data() | tables
    data["cohort"] = [data["cohort"][0] | {"plants": 500} | (cohort or {})]
    data["variety"][0] |= OWN | (variety or {})
    data["place"][0] |= {"tray_cells": 72} | (nursery or {})
    data["place"][1] |= place or {}
    return data


def worked_out(data, *names, acres=False):
    return quantities(make_plan(season_of(data), TODAY), data, names, acres)


def only(data, item, **more):
    """The amount of one item that the one cohort needs."""
    return worked_out(data, **more).cohorts[0].find(item)


def total(data, item, variety=""):
    return next(s for s in worked_out(data).sums if (s.item, s.variety) == (item, variety))


def two_in_h1(first_lights_off=date(2027, 1, 10), second_transplant=date(2026, 12, 20)):
    """A1 and A2 in H1 of 180 m2, 108 m2 each."""
    data = data_of(cohort={"plants": 120, "spacing_m": [1.5, 0.6]}, place={"area_m2": 180})
    first = data["cohort"][0]
    first["planned"]["lights_off"] = first_lights_off
    planned = first["planned"] | {"seeding": date(2026, 11, 25), "transplant": second_transplant}
    data["cohort"].append(first | {"id": "A2", "planned": planned, "recorded": {}})
    return data
