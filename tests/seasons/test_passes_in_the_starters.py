"""The starter chores fit a harvest in passes, and those of an older list are not changed unasked."""

import tomllib
from pathlib import Path

import pytest

STARTER = Path(__file__).parents[2] / "calendar_tui" / "starter"


def chores(name):
    return {c["id"]: c for c in tomllib.loads((STARTER / name).read_text(encoding="utf-8"))["chore"]}


LATEST = chores("chores.toml")


@pytest.mark.parametrize(
    "name",
    ["irrigation", "house-week", "water-pots", "house-round", "drip-test", "scout-late", "scout-rot", "traps",
     "spray-book", "disinfectant", "weekly-samples", "project-limit"],
)  # fmt: skip
def test_work_with_the_plants_goes_on_to_the_last_pass(name):
    assert (LATEST[name]["until"], LATEST[name]["until_offset_d"]) == ("harvest", 6)


@pytest.mark.parametrize("name", ["harvest-again", "load-dryer-again"])
def test_the_work_of_a_next_pass_comes_once_and_ends_with_the_harvest(name):
    assert (LATEST[name]["stage"], LATEST[name]["repeat"]) == ("harvest", "FREQ=DAILY;COUNT=1")
    assert LATEST[name]["until"] == "harvest"


@pytest.mark.parametrize(
    ("name", "words"),
    [("harvest", "weigh each pass by part"), ("dried", "each batch"), ("retain-sample", "each lot and batch"), ("clear-place", "After the last pass")],
)  # fmt: skip
def test_passes_and_batches_are_named_where_they_are_weighed_measured_and_kept(name, words):
    assert words in LATEST[name]["what"]


def test_the_list_before_is_kept_as_it_was():
    before = chores("chores-3.toml")
    assert before["harvest"]["what"] == "Harvest, first pass: top of the canopy; weigh by part"
    assert "load-dryer-again" not in before
