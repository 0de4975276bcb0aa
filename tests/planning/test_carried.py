"""Figures to carry forward: proposed from records, with what each would have done, and taken one by one.

By hand: hours spent 1.5 times those planned; 31.5 kg fresh of which 6.9 kg at 12 % water came out hold 6.072 kg dry matter, so the
fresh crop had 1 - 6.072 / 31.5 = 0.807 water.
"""

from __future__ import annotations

from copy import deepcopy
from datetime import date, timedelta

import numpy as np
import pytest

from calendar_tui.planning.changes.held_season import HeldSeason
from calendar_tui.planning.changes.ticks import Tick, tick_change
from calendar_tui.planning.plan import make_plan
from calendar_tui.planning.review.carried import Carried, carried, take
from calendar_tui.season.edits import apply_edits, outcome
from calendar_tui.season.reading import read_season
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.units_in_use import SYSTEMS, shown_in
from tests.planning.test_review import A1, farm, recorded, worked

TODAY = date(2027, 6, 1)


def held(data: dict) -> HeldSeason:
    reading = read_season(data)
    assert reading.season is not None, reading.problems
    return HeldSeason(make_plan(reading.season, TODAY), data, "", reading)


def proposed(data: dict) -> dict[str, Carried]:
    return {one.id: one for one in carried(held(data).plan)[0]}


def timed(ratios: list[float]) -> dict:
    plan, data = worked()
    looks = [t for t in plan.season.tasks if t.chore == "look"][: len(ratios)]
    ticks = [Tick(t, t.date, spent=round(t.hours * r, 2)) for t, r in zip(looks, ratios, strict=True)]
    return apply_edits(data, tick_change(ticks).edits)


def test_hours_are_carried_by_the_median_ratio() -> None:
    ratios = [1.5, 1.0, 1.5, 8.0, 1.6]
    one = proposed(timed(ratios))["hours-look"]
    assert one.figures == (("hours", "0.5", f"{0.5 * np.median(ratios):g}"),)
    assert (one.effect.before, one.effect.after) == (2.5, 3.75)
    assert one.effect.recorded == pytest.approx(0.5 * sum(ratios))
    assert one.n == 5


@pytest.mark.parametrize("ratios", [[3.0, 3.0], [1.05] * 6, []])
def test_few_hours_or_hours_that_agree_propose_nothing(ratios: list[float]) -> None:
    assert "hours-look" not in proposed(timed(ratios))


def test_a_figure_is_taken_as_one_change_that_can_be_undone() -> None:
    data = timed([2.0] * 4)
    made = take(held(data), "HOURS-look")
    changed = outcome(data, made.change.edits)
    after = read_season(changed.data).season
    assert after is not None
    assert (after.chores["look"].hours, after.chores["look"].hours_mark or after.chores["look"].mark) == (
        1.0,
        "measured",
    )
    assert {t.hours for t in after.tasks if t.chore == "look" and t.state == "done"} == {0.5}
    assert apply_edits(changed.data, changed.back) == data
    assert "hours-look" not in proposed(changed.data), "a ratio that was taken is not taken again"


def test_another_id_is_refused_with_those_there_are() -> None:
    with pytest.raises(Refusal, match="hours-look"):
        take(held(timed([2.0] * 4)), "hours-scout")
    with pytest.raises(Refusal, match="nothing, as its records stand"):
        take(held(farm()[1]), "fit-amber")


def test_a_fit_is_proposed_with_the_error_it_would_have_left() -> None:
    late = [(c, s, d + timedelta(days=9 if s in ("induced", "flowering") else 0)) for c, s, d in A1]
    _, data = recorded(*farm(), *late)
    one = proposed(data)["fit-amber"]
    assert one.fit is not None
    assert one.effect.after < one.effect.before
    made = take(held(data), "fit-amber")
    after = read_season(apply_edits(data, made.change.edits)).season
    assert after is not None
    assert after.varieties["amber"].sets == one.fit.fitted.sets != ()


def cut_and_dried() -> dict:
    _, data = recorded(*farm(), *A1, ("A1", "harvest", date(2027, 3, 30)))
    data["variety"][0] |= {"fresh_kg_per_plant": 0.4}
    data["pass"] = [
        {
            "id": "c1",
            "date": date(2027, 3, 30),
            "lot": "A1",
            "fresh_kg": {"tops": 31.5},
            "last": True,
            "batch": "b1",
        }
    ]
    data["batch"] = [
        {"id": "b1", "date": date(2027, 3, 30), "out": date(2027, 4, 12), "dry_kg": 6.9, "moisture": 0.12}
    ]
    return data


def test_weights_and_days_are_carried() -> None:
    found = proposed(cut_and_dried())
    assert found["water-amber"].figures[0][2] == "0.807"
    assert found["water-amber"].effect.recorded == 6.9
    assert found["fresh-amber"].figures[0][1:] == ("0.4 kg", f"{31.5 / 120:.3g} kg")
    assert (found["fresh-amber"].effect.before, found["fresh-amber"].effect.recorded) == (48.0, 31.5)
    assert found["drying-amber"].effect.after == 0 < found["drying-amber"].effect.before


@pytest.mark.parametrize("units", SYSTEMS)
def test_a_weight_that_is_taken_is_the_one_that_was_shown_in_any_units(units: str) -> None:
    data = cut_and_dried()
    with shown_in(units):
        made = take(held(data), "fresh-amber")
    after = read_season(apply_edits(data, made.change.edits)).season
    assert after is not None
    assert after.varieties["amber"].fresh_kg_per_plant == 0.263  # 31.5 kg of 120 plants


def test_plants_alive_are_counted_once_by_the_last_count() -> None:
    data = deepcopy(farm()[1])
    data["variable"] = [{"id": "stand", "unit": "1", "scale": "count", "planned": "plants"}]
    for name in ("A1", "A2", "A3"):
        if name != "A1":
            data["cohort"].append(data["cohort"][0] | {"id": name})
    data["observation"] = [
        {"date": date(2026, 12, n), "at": at, "variable": "stand", "value": str(value)}
        for n, at, value in ((1, "A1", 120), (9, "A1", 90), (9, "A2", 100), (9, "A3", 98))
    ]
    one = proposed(data)["alive-amber"]
    assert one.figures[0][1:] == ("0.95", f"{288 / 360:g}")
    assert (one.effect.recorded, one.n) == (288.0, 3)
