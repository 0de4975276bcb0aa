"""Wishes that cannot be, or not so: what is told, what would help, and that a search can be stopped."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from calendar_tui.planning.plan import make_plan
from calendar_tui.planning.staggering.proposing import Stopped, Watch, stagger
from calendar_tui.planning.staggering.wish import Wish
from calendar_tui.season.records import Lamps
from calendar_tui.season.refusal import Refusal
from tests.planning.farm import season_at
from tests.planning.staggered import FIRST, empty_data, planned, wish

pytestmark = pytest.mark.needs("ortools")


def low_latitude(*lamps):
    """A field at 10 N, where the day never gets to 13 h: plants are induced as soon as they are grown up."""
    site = {"latitude": 10.0, "longitude": -84.0, "timezone": "America/Costa_Rica"}
    season = season_at(site, date(2026, 9, 1), date(2027, 8, 31))
    return replace(
        season, places={n: replace(p, lamps=lamps[0] if lamps else None) for n, p in season.places.items()}
    )


@pytest.mark.slow
def test_small_plants_under_natural_days_are_told_with_the_lamps_that_let_them_grow():
    asked = Wish(
        variety="plain",
        lights=("F1",),
        start="cutting",
        plants=10,
        count=2,
        first=date(2027, 3, 1),
        every_d=14,
    )
    dark = stagger(make_plan(low_latitude(), FIRST), asked)
    assert all(s.timeline.growth_d < 5 for s in dark.sown)
    (told,) = [text for text in dark.notes if text.startswith("natural days in F1 leave 2 cohorts with")]
    assert "lamps to 16 h 00 in F1 would make it possible with 42 d of growth" in told
    lit = stagger(make_plan(low_latitude(Lamps(target_h=16.0)), FIRST), replace(asked, count=1, plants=None))
    assert lit.sown[0].timeline.growth_d >= 42
    assert lit.notes == ()


def test_a_harvest_that_no_light_can_bring_is_told_with_what_natural_days_give():
    """At 34.3 S days are over 14 h 00 from late November to late January, so plain planted in spring waits for autumn."""
    asked = wish(variety="plain", lights=("F1",), first=date(2027, 3, 1), count=1)
    with pytest.raises(Refusal) as refused:
        stagger(planned(empty_data()), asked)
    said = str(refused.value)
    assert said.startswith(
        "no planting in F1 is harvested within 3 days of 1 Mar 2027; in F1 on natural days, plantings"
    )
    assert "lamps do not help either" in said


IMPOSSIBLE = [
    ({"lights": ("H9",)}, '"H9" is not a place of this season'),
    ({"variety": "ambre"}, 'did you mean "amber"?'),
    ({"lights": ()}, "name the places"),
    ({"count": 0}, "0 cohorts cannot be"),
    ({"first": date(2028, 1, 1)}, "is outside the season"),
    ({"last": date(2027, 2, 1), "every_d": None}, "is before the first"),
    ({"every_d": 60, "count": 9}, "is outside the season"),
    ({"every_d": None}, "need a last harvest too"),
    ({"last": date(2027, 5, 1)}, "one too many"),
    ({"nursery": "H1"}, "cannot be the nursery"),
    ({"plants": 0}, "0 plants cannot be"),
]


@pytest.mark.parametrize(("keys", "says"), IMPOSSIBLE)
def test_a_wish_that_cannot_be_says_why(keys, says):
    with pytest.raises(Refusal) as refused:
        stagger(planned(empty_data()), wish(**keys))
    assert says in str(refused.value)


@pytest.mark.slow
def test_nothing_is_started_before_today():
    today = date(2026, 12, 10)
    scheme = stagger(planned(empty_data(), today), wish(first=date(2027, 4, 1)))
    assert all(s.timeline.stages[s.cohort.first_stage].likely >= today for s in scheme.sown)


def test_it_can_be_stopped_before_there_is_anything_to_show():
    with pytest.raises(Stopped):
        stagger(planned(empty_data()), wish(), watch=Watch(stopped=lambda: True))


@pytest.mark.slow
def test_how_far_it_is_is_told_in_order():
    parts = []
    stagger(planned(empty_data()), wish(), watch=Watch(report=lambda step, part: parts.append(part)))
    assert parts == sorted(parts)
    assert parts[-1] == 1


@pytest.mark.slow
def test_what_cannot_be_looked_at_is_told_with_what_is_missing():
    data = empty_data(capacity={"dryer_kg": 100})
    del data["variety"][0]["fresh_kg_per_plant"]
    del data["place"][0]["tray_cells"]
    del data["place"][3]["area_m2"]
    told = stagger(planned(data), wish(count=1, lights=("F1",), first=date(2027, 3, 25), within_d=20)).notes
    assert "the dryer is not looked at: the fresh weight of a plant of amber is not set" in told
    assert "trays on benches are not looked at: N1 has no number of tray cells" in told
    assert "room in F1 is not looked at: its area is not set" in told
    assert not [text for text in stagger(planned(empty_data()), wish()).notes if "looked at" in text]


def test_a_limit_that_is_not_kept_is_told_once():
    data = empty_data(capacity={"samples_per_week": 0, "dryer_kg": 10})
    scheme = stagger(planned(data), wish(count=1, plants=300, lights=("H1",)))
    assert {o.limit.kind for o in scheme.overs} == {"samples", "dryer", "room"}
    said = " ".join(scheme.clashes)
    assert "too many" not in said
    assert "is too small" not in said
    assert scheme.measures.clashes == len(scheme.overs) + len(scheme.clashes)


def test_what_fits_is_proposed_first_and_what_more_would_break_is_told():
    """Plants for 30 m2 fill a field of 70 m2 with two cohorts at a time; four want it within ten days."""
    data = empty_data()
    data["place"][3] |= {"area_m2": 70}
    asked = wish(
        lights=("F1",), count=4, plants=33, first=date(2027, 4, 3), every_d=3, grown_d=5, within_d=12
    )
    scheme = stagger(planned(data), asked)
    assert len(scheme.sown) == 2
    assert not [text for text in scheme.hard_texts if text.startswith("room")]
    text = next(t for t in scheme.notes if "cohorts fit, and no more are proposed" in t)
    assert text.startswith(
        f"{len(scheme.sown)} of 4 cohorts fit, and no more are proposed; all 4 would break: room in F1, "
    )


def test_where_all_asked_for_stays_small_it_is_marked_as_over_a_hard_limit():
    asked = Wish(variety="plain", lights=("F1",), start="cutting", count=1, first=date(2027, 3, 1))
    scheme = stagger(make_plan(low_latitude(), FIRST), asked)
    (text,) = scheme.hard_texts
    assert text.startswith(f"{scheme.sown[0].cohort.id} has only {scheme.sown[0].timeline.growth_d} day")
    assert "under 21 d plants stay small" in text
    assert text not in scheme.clashes


@pytest.mark.slow
def test_where_all_stay_small_no_more_are_proposed_than_the_ground_holds():
    data = empty_data()
    data["place"][3] |= {"area_m2": 70}
    scheme = stagger(
        planned(data),
        wish(lights=("F1",), count=4, plants=33, first=date(2027, 4, 3), every_d=3, within_d=12),
    )
    assert len(scheme.sown) == 2
    assert {text.split(" has only ")[0] for text in scheme.hard_texts} == {s.cohort.id for s in scheme.sown}


@pytest.mark.slow
def test_cohorts_that_grow_are_proposed_before_those_that_stay_small():
    """By 10 N the field leaves plants small, and one lit house takes one cohort at a time."""
    season = low_latitude()
    lit = replace(season.places["F1"], id="H1", lamps=Lamps(target_h=16.0))
    plan = make_plan(replace(season, places={**season.places, "H1": lit}), FIRST)
    asked = Wish(
        variety="plain", lights=("H1", "F1"), start="cutting", count=2, first=date(2027, 3, 1), every_d=2
    )
    scheme = stagger(plan, asked)
    assert [s.cohort.place for s in scheme.sown] == ["H1"]
    assert any(
        t.startswith(
            "1 of 2 cohorts fit, and no more are proposed; all 2 would break: natural days in F1 leave 1 cohort with"
        )
        for t in scheme.notes
    )


def test_after_the_season_nothing_is_proposed():
    with pytest.raises(Refusal) as refused:
        stagger(planned(empty_data(), date(2027, 8, 1)), wish(count=None, first=None))
    assert "the season ended on Wed 30 Jun 2027" in str(refused.value)
