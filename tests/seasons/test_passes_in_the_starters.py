"""The starter chores fit a harvest in passes, and those of an older list are not changed unasked."""

import tomllib
from pathlib import Path

import pytest

import calendar_tui
from tests.seasons.test_starter_work import laid_out, of

STARTER = Path(calendar_tui.__file__).parent / "starter"


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


def test_a_dryer_is_loaded_with_the_next_pass_of_each_cohort_of_a_place():
    """Their harvests are far apart, so that one task in all would be left out for the later."""
    plan, tasks = laid_out()
    for cohort in plan.timelines:
        (cut,) = of(tasks, "harvest-again", about=cohort)
        (load,) = of(tasks, "load-dryer-again", about=cohort)
        assert load.date == cut.date


@pytest.mark.parametrize("name", ["load-dryer", "load-dryer-again"])
def test_a_pass_that_goes_into_a_batch_ticks_the_loading(name):
    assert LATEST[name]["loads_dryer"] is True
    assert "loads_dryer" not in chores("chores-4.toml")[name]
