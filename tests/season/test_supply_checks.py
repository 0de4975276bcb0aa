"""Supplies, stock, circuits and shares that make no sense are told, each at its key."""

import pytest

from calendar_tui.season.reading import read_season
from tests.planning.farm import farm_data


def problems(**tables):
    """The problems of the farm with these supplies and stock, and these keys of its first variety, nursery and lamps."""
    data = farm_data()
    data |= {kind: tables[kind] for kind in ("supplies", "stock") if kind in tables}
    data["variety"][0] |= tables.get("variety", {})
    data["place"][0] |= tables.get("nursery", {})
    data["place"][1]["lamps"] |= tables.get("lamps", {})
    return [(p.path, p.message) for p in read_season(data).problems]


LAMPS = ("place", 1, "lamps")
WRONG = [
    ({"variety": {"germination": 1.2}}, ("variety", 0, "germination"), "it must be from 0.01 to 1"),
    ({"variety": {"usable": 0}}, ("variety", 0, "usable"), "it must be from 0.01 to 1"),
    ({"variety": {"female_share": 50}}, ("variety", 0, "female_share"), "it must be from 0.01 to 1"),
    ({"variety": {"fresh_kg_per_plant": 0}}, ("variety", 0, "fresh_kg_per_plant"), "it must be from 0.001"),
    ({"variety": {"moisture_fresh": 1}}, ("variety", 0, "moisture_fresh"), "it must be from 0 to 0.99"),
    ({"variety": {"moisture_dry": 0.8}}, ("variety", 0, "moisture_dry"), "is over moisture_fresh 0.75"),
    ({"nursery": {"tray_cells": 0}}, ("place", 0, "tray_cells"), "a whole number from 1 to 2000"),
    ({"nursery": {"pot_l": 0}}, ("place", 0, "pot_l"), "it must be from 0.01"),
    ({"supplies": {"tray_cells": 0}}, ("supplies", "tray_cells"), "a whole number from 1 to 2000"),
    ({"supplies": {"tray_cell": 72}}, ("supplies", "tray_cell"), 'did you mean "tray_cells"?'),
    ({"supplies": {"marks": {"tray_cells": "sure"}}}, ("supplies", "marks", "tray_cells"), "must be one of"),
    ({"supplies": {"marks": {"cells": "own"}}}, ("supplies", "marks", "cells"), "not known under marks"),
    ({"stock": {"seeds": {"ambre": 500}}}, ("stock", "seeds", "ambre"), 'did you mean "amber"?'),
    ({"stock": {"cuttings": {"green": 5}}}, ("stock", "cuttings", "green"), "Known: amber, plain, byage"),
    ({"stock": {"seeds": {"amber": -1}}}, ("stock", "seeds", "amber"), "a whole number from 0"),
    ({"stock": {"seeds": 500}}, ("stock", "seeds"), "write { name = value"),
    ({"stock": {"trays": 2.5}}, ("stock", "trays"), "a whole number from 0"),
    ({"stock": {"label": 5}}, ("stock", "label"), 'did you mean "labels"?'),
    ({"lamps": {"circuit_v": 230}}, (*LAMPS, "circuit_v"), "circuit_v needs circuit_a beside it"),
    ({"lamps": {"circuit_a": 16}}, (*LAMPS, "circuit_a"), "circuit_a needs circuit_v beside it"),
    ({"lamps": {"circuits": 2}}, (*LAMPS, "circuits"), "circuits needs circuit_v and circuit_a"),
    ({"lamps": {"circuit_v": 0, "circuit_a": 16}}, (*LAMPS, "circuit_v"), "it must be from 1 to 1000"),
]


@pytest.mark.parametrize(("tables", "at", "said"), WRONG)
def test_what_makes_no_sense_is_told_at_its_key(tables, at, said):
    ((path, message),) = problems(**tables)
    assert path == at
    assert said in message


def test_what_makes_sense_is_read():
    supplies = {"tray_cells": 72, "media_l_per_tray": 3.5, "marks": {"media_l_per_tray": "own"}}
    stock = {"seeds": {"amber": 0, "plain": 900}, "trays": 4, "media_l": 100.5}
    lamps = {"circuit_v": 230, "circuit_a": 16, "circuits": 2}
    variety = {"female_share": 0.5, "fresh_kg_per_plant": 1.5, "moisture_fresh": 0.7, "moisture_dry": 0.7}
    assert problems(supplies=supplies, stock=stock, lamps=lamps, variety=variety) == []
    data = farm_data() | {"supplies": supplies, "stock": stock}
    season = read_season(data).season
    assert season.supplies.tray_cells == 72
    assert season.supplies.labels_per_cohort == 2
    assert (season.stock.seeds, season.stock.bags) == ({"amber": 0, "plain": 900}, None)
