"""The next season of each example: it checks clean, its tasks agree with its plan, and what it carries over is field by field the same."""

from __future__ import annotations

import re
import tomllib
from datetime import date
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from calendar_tui.handing_on.tables.next_season_rows import next_season_row
from calendar_tui.handing_on.words.next_season_text import next_season_text
from calendar_tui.planning.changes.held_season import HeldSeason
from calendar_tui.planning.changes.replan import differing_tasks
from calendar_tui.planning.next_season.carried import LEFT_KEYS, is_left
from calendar_tui.planning.next_season.making import NextSeason, Wish, next_season
from calendar_tui.planning.plan import make_plan
from calendar_tui.planning.review.carried import take
from calendar_tui.season.edits import apply_edits
from calendar_tui.season.kinds import KINDS, by_kind
from calendar_tui.season.reading import read_season
from calendar_tui.storage.new_season import text_after
from calendar_tui.storage.opening import Opened, need_season, opened_from

SEASONS = Path(__file__).parents[2] / "seasons"
EVERY = pytest.mark.parametrize("name", ["two-rivers", "laguna-alta", "north-bench", "bright-weir"])


AS_IT_COMES = Wish()


@cache
def made_of(name: str, wish: Wish = AS_IT_COMES) -> tuple[Opened, NextSeason, Opened]:
    """An example, its next season, and the file that comes of it, on the example's own day."""
    opened, season = need_season(SEASONS / f"{name}.toml")
    assert season.example_today is not None
    made = next_season([make_plan(season, season.example_today)], opened.data, wish, season.example_today)
    text, data = text_after(opened.path, opened.text, opened.data, made.steps)
    return opened, made, opened_from(opened.path, text, data)


@pytest.mark.slow
def test_what_its_review_proposes_and_nobody_took_is_told_with_the_command_that_takes_it() -> None:
    """Water in fresh crop 0.75 -> 0.818 is a third of the dry crop: whoever plans next year's dryer must know of it."""
    _, made, _ = made_of("bright-weir")
    words = {one.id for one in made.open_proposals}
    assert {"water-linnet", "alive-plover", "turnaround-reed-lab", "hours-harvest"} <= words
    assert words.isdisjoint({"fit-linnet", "fit-plover", "fresh-linnet"})
    text = " ".join(" ".join(next_season_text(made, "old.toml")).split())
    assert (
        f"review proposes {len(words)} figures that this season has not taken: calendar-tui review old.toml"
        in text
    )
    assert "linnet water in fresh crop 0.75 -> 0.818" in text
    kept = {one.id for one in made_of("bright-weir", Wish(refit=False))[1].open_proposals}
    assert kept == words | {"fit-linnet", "fit-plover", "fresh-linnet", "fresh-plover"}
    row = next_season_row(made, "new.toml", saved=False)
    assert [one["id"] for one in row["not_taken"]] == [one.id for one in made.open_proposals]


@pytest.mark.slow
def test_what_was_taken_is_not_proposed_any_more() -> None:
    opened, season = need_season(SEASONS / "bright-weir.toml")
    assert season.example_today is not None
    held = HeldSeason(make_plan(season, season.example_today), opened.data)
    data = apply_edits(opened.data, take(held, "water-linnet").change.edits)
    taken = read_season(data).season
    assert taken is not None
    made = next_season([make_plan(taken, season.example_today)], data, AS_IT_COMES, season.example_today)
    words = {one.id for one in made.open_proposals}
    assert "water-linnet" not in words
    assert "water-plover" in words


@pytest.mark.quick(1)
@EVERY
def test_it_checks_clean_and_its_tasks_agree_with_its_plan(name: str) -> None:
    _, made, new = made_of(name)
    assert new.problems == ()
    assert new.season is not None
    plan = make_plan(new.season, new.season.since or date.min)
    assert differing_tasks(plan) == ()
    assert len(new.season.tasks) > 100
    assert {task.state for task in new.season.tasks} == {"open"}
    assert made.season.name != ""


@pytest.mark.quick(1)
@EVERY
def test_what_is_carried_over_is_field_by_field_the_same_a_year_later(name: str) -> None:
    """By Python's own reader; dates of rules stay, all others have the same day and month."""
    opened, made, new = made_of(name, Wish(refit=False))
    before, after = (by_kind(tomllib.loads(one.text)) for one in (opened, new))
    assert before.keys() - after.keys() <= {kind.name for kind in KINDS if is_left(kind)}
    for kind in KINDS:
        if is_left(kind) or kind.name not in before:
            continue
        old, now = (one[kind.name] if kind.identity else [one[kind.name]] for one in (before, after))
        assert len(old) == len(now)
        for one, other in zip(old, now, strict=True):
            gone = set(LEFT_KEYS.get(kind.name, ()))
            set_anew = {"season": {"name", "since"}, "trial": {"seed", "date"}}.get(kind.name, set())
            assert one.keys() - gone - set_anew == other.keys() - set_anew
            for key in one.keys() - gone - set_anew:
                assert is_later(one[key], other[key], 0 if kind.name == "profile" else made.years), key


def is_later(old: Any, new: Any, years: int) -> bool:
    """Whether two values are the same but for their dates, which are so many years apart; a trial has some in quotes."""
    if isinstance(old, str) and re.fullmatch(r"\d{4}-\d\d-\d\d", old):
        return is_later(date.fromisoformat(old), date.fromisoformat(new), years)
    if isinstance(old, date):
        return (new.year - old.year, new.month, new.day) == (years, old.month, old.day)
    if isinstance(old, list):
        return len(old) == len(new) and all(is_later(a, b, years) for a, b in zip(old, new, strict=True))
    if isinstance(old, dict):
        return old.keys() == new.keys() and all(is_later(old[key], new[key], years) for key in old)
    return bool(old == new)


@EVERY
def test_every_record_of_the_season_that_was_is_counted_among_what_is_left(name: str) -> None:
    opened, made, _ = made_of(name)
    data = by_kind(opened.data)
    for kind in KINDS:
        if is_left(kind) and kind.name in data:
            told = [one.number for one in made.left if one.kind == kind.name]
            assert len(data[kind.name]) in (told[0], sum(told)), kind.name
    recorded = sum(len(cohort.get("recorded", {})) for cohort in data["cohort"])
    assert any(one.number == recorded and "recorded dates" in one.text for one in made.left)


@EVERY
def test_comments_stay(name: str) -> None:
    """Of all that stands above the records, which go."""
    opened, _, new = made_of(name)
    head = opened.text.partition("\n[records]")[0].splitlines()
    comments = {line for line in head if line.startswith("#")}
    assert len(comments) > 5
    assert comments <= set(new.text.splitlines())


def test_the_trial_of_north_bench_is_drawn_anew_in_the_cohort_it_had() -> None:
    """E2 came two days late; next year it is planned for its planned day, and so is the trial."""
    _, made, new = made_of("north-bench")
    (drawn,) = made.trials
    assert (drawn.trial, drawn.seed, drawn.plots, drawn.why_not) == ("S1", 20260616, 12, "")
    assert new.season is not None
    assert {plot.cohort for plot in new.season.plots.values()} == {"E2"}
    assert new.season.trials["S1"].date == new.season.cohorts["E2"].planned["transplant"]
    assert all(plot.lost is None for plot in new.season.plots.values())


@pytest.mark.parametrize(
    ("name", "days"),
    [
        ("two-rivers", ("2027-09-15", "2028-05-31")),  # south of the equator, across New Year
        ("north-bench", ("2027-02-01", "2028-01-31")),
        ("laguna-alta", ("2027-05-01", "2028-01-31")),
    ],
)
def test_a_season_begins_and_ends_on_the_same_dates_in_both_hemispheres(
    name: str, days: tuple[str, str]
) -> None:
    _, made, _ = made_of(name)
    assert (made.season.first_day.isoformat(), made.season.last_day.isoformat()) == days
