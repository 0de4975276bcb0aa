"""A place screened into parts: each with its own light, asks and share of the lamps; a failure is one of all parts."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date, timedelta
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calendar_tui.planning.lamps.dark_nights import missed_nights
from calendar_tui.planning.lamps.runs import kw_of, lamp_runs, lamp_sheet, lights_with_lamps
from calendar_tui.planning.laying_out.programmes import place_of
from calendar_tui.planning.plan import make_plan
from calendar_tui.planning.tasks.amounts import lamp_kwh
from calendar_tui.planning.tasks.by_chore import chore_tasks
from calendar_tui.planning.why.chain import counted_days
from calendar_tui.planning.why.phases import phase_on
from calendar_tui.season.checks import CHECKS
from calendar_tui.season.finders import find_light
from calendar_tui.season.problems import Problem
from calendar_tui.season.records import Chore, Outage, Programme, Season
from calendar_tui.season.refusal import Refusal
from tests.planning.acts import record_outage
from tests.planning.lit_house import EXTEND, FIRST, cohort, felt_h, house, laid_out, natural_h, texts

LATE, SOON = date(2026, 9, 20), date(2026, 8, 15)
DAY = timedelta(days=1)
PARTS = ["east", "west"]


def lit_until(dark: date, **keys: Any) -> dict[str, Any]:
    return {"planned": {"sticking": date(2026, 6, 1), "lights_off": dark}, **keys}


def two(parts: list[str], late: date = LATE, soon: date = SOON) -> Season:
    """A1 lit up to `late` and B1 up to `soon`, each in a part of its own where there are parts."""
    east, west = ({"part": p} for p in parts) if parts else ({}, {})
    cohorts = [cohort("A1", **lit_until(late, **east)), cohort("B1", **lit_until(soon, **west))]
    return house(EXTEND, cohorts=cohorts, **({"screened": parts} if parts else {}))


def test_each_part_goes_dark_with_its_own_cohorts() -> None:
    plan = laid_out(two(PARTS))
    assert set(plan.light.places) == {"H1 east", "H1 west", "N1", "F1"}
    assert felt_h(plan, SOON, "H1 east") == 16
    assert felt_h(plan, SOON, "H1 west") == natural_h(plan, SOON)
    assert plan.timelines["B1"].likely("trigger") == SOON
    assert plan.timelines["A1"].likely("trigger") == LATE
    assert texts(plan, "B1", "held back") == []


def test_without_the_screen_the_dark_cohort_waits_and_is_told_the_nights_lost_and_the_ways_out() -> None:
    plan = laid_out(two([]))
    assert plan.timelines["B1"].likely("trigger") == LATE
    (text,) = texts(plan, "B1", "held back")
    assert text.startswith("B1 is held back 36 nights up to 19 Sep: H1 is lit for A1")  # 15 Aug to 19 Sep
    assert "alone it would trigger on 15 Aug, not 20 Sep" in text
    assert "one lights-off for both on 15 Aug (leaves A1 73 of 100 days of growth)" in text
    assert 'plant it in F1 instead (in its record place = "F1", no lights_off): trigger on' in text
    assert "a screen: divide H1 into parts, name them in its record" in text


def test_ways_out_are_told_for_nights_to_come_only() -> None:
    midway = make_plan(two([]), date(2026, 9, 1))
    (text,) = texts(midway, "B1", "held back")
    assert "held back 36 nights up to 19 Sep" in text
    assert "one lights-off for both on 1 Sep (leaves A1 83 of 100 days of growth)" in text
    assert "carry" not in text  # plants of a hoop house stand in the ground
    (past,) = texts(make_plan(two([]), date(2026, 9, 20)), "B1", "held back")
    assert past.endswith("alone it would trigger on 15 Aug, not 20 Sep")


def test_held_back_by_those_of_its_own_part_another_part_is_the_way_out() -> None:
    season = two(PARTS)
    beside = replace(season.cohorts["B1"], part="east")
    plan = laid_out(replace(season, cohorts=season.cohorts | {"B1": beside}))
    (text,) = texts(plan, "B1", "held back")
    assert "H1 east is lit for A1" in text
    assert 'plant it in H1 west instead (in its record part = "west"): trigger on 15 Aug' in text
    assert "a part of H1 of its own" in text


def test_a_place_that_is_lit_on_these_nights_is_no_way_out() -> None:
    season = two(PARTS)
    others = {
        "B1": replace(season.cohorts["B1"], part="east"),
        "C1": replace(season.cohorts["A1"], id="C1", part="west"),
    }
    (text,) = texts(laid_out(replace(season, cohorts=season.cohorts | others)), "B1", "held back")
    assert '(in its record place = "F1", no part, no lights_off): trigger on' in text


def test_work_is_done_in_the_part() -> None:
    chores = {
        c.id: c
        for c in (
            Chore(id="dark", what="Switch off", stage="lights_off"),
            Chore(id="look", what="Look at the plants", stage="rooted"),
        )
    }
    plan = laid_out(replace(two(PARTS), chores=chores))
    places = {(t.cohort, t.place) for n in ("A1", "B1") for t in chore_tasks(plan.season, plan.timelines[n])}
    assert places == {("A1", "H1 east"), ("B1", "H1 west")}


def test_the_chart_draws_a_cohort_under_its_own_part_s_lamps() -> None:
    plan = laid_out(two(PARTS, soon=date(2026, 7, 10)))
    long_day = date(2026, 7, 20)  # over 14 h: B1, dark by then, still grows
    assert [phase_on(plan, plan.timelines[n], long_day) for n in ("A1", "B1")] == ["lamps", "natural"]


def test_nights_of_juvenile_plants_are_not_lost() -> None:
    """Sown on 1 August, up by the 6th and juvenile for 25 days: only from 31 August on do nights count."""
    young = cohort("B1", start="seed", planned={"seeding": date(2026, 8, 1)})
    plan = laid_out(house(EXTEND, cohorts=[cohort("A1", **lit_until(LATE)), young]))
    (text,) = texts(plan, "B1", "held back")
    assert "held back 20 nights up to 19 Sep" in text  # 31 Aug to 19 Sep


def test_an_outage_of_a_place_is_one_of_all_its_parts() -> None:
    nights = Outage(place="H1", first=date(2026, 8, 5), last=date(2026, 8, 6))
    plan = laid_out(replace(two(PARTS), outages=(nights,)))
    for part, name in (("H1 east", "A1"), ("H1 west", "B1")):
        assert felt_h(plan, date(2026, 8, 5), part) == natural_h(plan, date(2026, 8, 5))
        assert len(missed_nights(plan.timelines[name], plan.light, nights)) == 2
        assert "; 2 nights without the lamps of H1 from 5 Aug" in texts(plan, name, "outage")[0]


def test_an_outage_of_one_part_leaves_the_other_lit() -> None:
    nights = Outage(place="H1 west", first=date(2026, 8, 5), last=date(2026, 8, 6))
    plan = laid_out(replace(two(PARTS), outages=(nights,)))
    assert felt_h(plan, date(2026, 8, 5), "H1 east") == 16
    assert felt_h(plan, date(2026, 8, 5), "H1 west") == natural_h(plan, date(2026, 8, 5))
    assert texts(plan, "A1", "outage") == []
    assert "; 2 nights without the lamps of H1 west from 5 Aug" in texts(plan, "B1", "outage")[0]


def test_nights_of_a_part_and_of_its_place_do_not_meet_but_those_of_two_parts_may() -> None:
    day = date(2026, 8, 5)
    saved = replace(two(PARTS), outages=(Outage(place="H1 west", first=day, last=day),))
    plan = make_plan(saved, date(2026, 9, 1))
    for name in ("H1", "H1 west"):
        with pytest.raises(Refusal, match="H1 west already has an outage"):
            record_outage(plan, name, day, day)
    assert find_light(saved, "h1 EAST") == "H1 east"
    (edit,) = record_outage(plan, "H1 east", day, day).change.edits[:1]
    assert edit.ident == ("H1 east", day)


def covers(place: str, first: date, last: date, on: str = "18:00", off: str = "08:00") -> dict[str, Any]:
    return {"place": place, "from": first, "to": last, "method": "blackout", "on": on, "off": off}


def parted(*programmes: dict[str, Any]) -> Season:
    """H1 in two parts, A1 in the east and B1 in the west, both under lamps up to 20 September."""
    cohorts = [cohort("A1", part="east"), cohort("B1", part="west")]
    return house(EXTEND, *programmes, cohorts=cohorts, screened=PARTS)


def test_a_programme_of_one_part_leaves_the_other_as_it_is() -> None:
    day = date(2026, 7, 5)
    season = parted(covers("H1 east", date(2026, 7, 1), date(2026, 7, 10)))
    plan = laid_out(season)
    assert felt_h(plan, day, "H1 east") == pytest.approx(10)
    assert felt_h(plan, day, "H1 west") == 16
    assert "covers" in texts(plan, "A1", "lamps under covers")[0]
    assert texts(plan, "B1", "lamps under covers") == []
    sheets = {n: lamp_sheet(season, n, plan.light, plan.timelines) for n in ("H1 east", "H1 west")}
    assert [len(sheets[n].programmes) for n in sheets] == [3, 1]
    assert sum(r.programme.method == "blackout" for r in sheets["H1 east"].runs) == 10


def test_a_part_has_the_programmes_of_its_place_too() -> None:
    season = parted(
        covers("H1", date(2026, 7, 1), date(2026, 7, 10)),
        covers("H1 east", date(2026, 7, 11), date(2026, 7, 20)),
    )
    plan = laid_out(season)
    days = [date(2026, 7, 5), date(2026, 7, 15)]
    assert [felt_h(plan, d, "H1 east") for d in days] == pytest.approx([10, 10])
    assert [felt_h(plan, d, "H1 west") for d in days] == pytest.approx([10, 16])


def test_covers_over_one_part_of_a_place_without_lamps_are_that_part_s_alone() -> None:
    only_stuck = {"planned": {"sticking": date(2026, 6, 1)}}
    season = house(
        None,
        covers("H1 west", date(2026, 7, 1), date(2026, 7, 10)),
        cohorts=[cohort("A1", part="east", **only_stuck)],
        screened=PARTS,
    )
    assert lights_with_lamps(season) == ("H1 west",)


def test_a_task_s_kwh_are_those_of_the_part_s_own_programme() -> None:
    longer = {"place": "H1 east", "from": date(2026, 8, 1), "to": date(2026, 8, 31), "target_h": 18.0}
    plan = laid_out(parted(longer))
    east, west = (lamp_kwh(plan.season, plan.timelines[n]) for n in ("A1", "B1"))
    assert east is not None
    assert west is not None
    assert east - west == pytest.approx(
        31 * 2 * 0.5, abs=0.5
    )  # 2 h more on 31 nights, with 0.5 kW in each part


def season_problems(season: Season) -> list[Problem]:
    return [problem for check in CHECKS for problem in check(season)]


@pytest.mark.parametrize("kind", ["programme", "outage"])
@pytest.mark.parametrize(("one", "other"), [("H1", "H1 east"), ("H1 east", "H1"), ("H1 east", "H1 east")])
def test_periods_of_a_part_and_of_its_place_share_no_night(kind: str, one: str, other: str) -> None:
    season = parted()
    spans = [(one, date(2026, 7, 1), date(2026, 7, 10)), (other, date(2026, 7, 10), date(2026, 7, 20))]
    make = Programme if kind == "programme" else Outage
    keys = {"target_h": 17.0} if kind == "programme" else {}
    both = tuple(make(place=p, first=a, last=b, **keys) for p, a, b in spans)  # type: ignore[arg-type]
    (problem,) = season_problems(replace(season, **{f"{kind}s": both}))
    assert problem.path == (kind, 1, "from")
    whose = "" if one == other else f" of {one}"
    assert (
        f"{kind} of {other} from 2026-07-10 to 2026-07-20 overlaps the one{whose} from 2026-07-01"
        in problem.message
    )
    apart = (both[0], replace(both[1], first=date(2026, 7, 11)))
    assert season_problems(replace(season, **{f"{kind}s": apart})) == []
    two_parts = (replace(both[0], place="H1 east"), replace(both[1], place="H1 west"))
    assert season_problems(replace(season, **{f"{kind}s": two_parts})) == []


@pytest.mark.parametrize(
    ("name", "says"),
    [
        ("H1 esat", '"esat" is not a part of H1; did you mean "east"? Its parts: east, west'),
        ("h1 north", '"north" is not a part of H1. Its parts: east, west'),
        ("F1 east", 'F1 is not screened into parts, so "east" is not a part of it; name the place alone'),
        ("Z9 east", '"Z9 east" is not a place of this season'),
    ],
)
def test_a_part_that_is_not_there_is_told_with_those_that_are(name: str, says: str) -> None:
    with pytest.raises(Refusal, match=re.escape(says)):
        find_light(parted(), name)


def test_a_part_has_its_share_of_the_lamps_and_a_sheet_of_its_own() -> None:
    season = two(PARTS)
    plan = laid_out(season)
    assert lights_with_lamps(season) == ("H1 east", "H1 west")
    assert kw_of(place_of(season, "H1 east")) == 0.5
    shared = laid_out(two([], late=LATE, soon=LATE))
    whole = sum(r.kwh or 0 for r in lamp_runs(shared.season, "H1", shared.light))
    east = lamp_sheet(season, "H1 east", plan.light, plan.timelines)
    assert sum(r.kwh or 0 for r in east.runs) == pytest.approx(whole / 2)
    assert {r.place for r in east.runs} == {"H1 east"}
    with pytest.raises(KeyError):
        place_of(season, "H1")


def test_why_names_the_part() -> None:
    assert {d.place for d in counted_days(laid_out(two(PARTS)), "B1")} == {"H1 west"}


def test_a_change_in_one_part_takes_the_other_s_timeline_over() -> None:
    plan = laid_out(two(PARTS))
    sooner = replace(plan.season.cohorts["A1"], replanned={"lights_off": date(2026, 8, 30)})
    season = replace(plan.season, cohorts=plan.season.cohorts | {"A1": sooner})
    after = make_plan(season, FIRST, plan)
    assert after.timelines["B1"] is plan.timelines["B1"]
    assert after.timelines["A1"].likely("trigger") == date(2026, 8, 30)


@pytest.mark.slow
@settings(deadline=None, max_examples=40)
@given(
    late=st.integers(10, 190), soon=st.integers(10, 190), failed=st.integers(0, 200), nights=st.integers(0, 5)
)
def test_a_screen_never_triggers_a_cohort_later(late: int, soon: int, failed: int, nights: int) -> None:
    begin = date(2026, 6, 1)
    seasons = (two(parts, begin + late * DAY, begin + soon * DAY) for parts in ([], PARTS))
    first = begin + failed * DAY
    outages = (Outage(place="H1", first=first, last=first + (nights - 1) * DAY),)
    shared, screened = (make_plan(replace(s, outages=outages), FIRST) for s in seasons)
    for name in ("A1", "B1"):
        one, other = (p.timelines[name].likely("trigger") or date.max for p in (screened, shared))
        assert one <= other
