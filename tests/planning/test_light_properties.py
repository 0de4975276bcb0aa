"""What must hold of light and triggers in any season: more light never triggers sooner, and nothing changes nothing."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime, time, timedelta
from typing import Any, NamedTuple

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calendar_tui.planning.plan import Plan, make_plan
from calendar_tui.season.fields import LAMP_SIDES
from calendar_tui.season.records import Lamps, Outage, Season
from tests.planning.farm import season_at

FIRST, LAST = date(2026, 2, 1), date(2027, 1, 15)
QUICK = settings(deadline=None, max_examples=60)


def plan_of(season: Season) -> Plan:
    return make_plan(season, FIRST)


def days(first: int, last: int) -> st.SearchStrategy[date]:
    return st.integers(first, last).map(lambda n: FIRST + timedelta(days=n))


extending = st.builds(
    lambda target, side: Lamps(target_h=target, side=side), st.floats(10, 23), st.sampled_from(LAMP_SIDES)
)
breaking = st.builds(
    lambda on, length: Lamps(method="night-break", on=time(on), off=time((on + length) % 24)),
    st.integers(18, 23),
    st.integers(1, 5),
)
lamps = st.one_of(extending, breaking)


@st.composite
def varieties(draw: st.DrawFn) -> dict[str, Any]:
    """Critical day 12 to 15 h, where cultivars' trigger points lie (University of Florida, read)."""
    critical = draw(st.integers(12 * 60, 15 * 60))
    full = critical - draw(st.integers(1, 180))
    needed = draw(st.integers(1, 12))
    return {
        "id": "drawn",
        "response": "short-day",
        "critical_day": f"{critical // 60}:{critical % 60:02d}",
        "full_response_day": f"{full // 60}:{full % 60:02d}",
        "inductive_days": [needed, needed, needed + 2],
    }


@st.composite
def cohorts(draw: st.DrawFn, name: str, dark: bool = False) -> dict[str, Any]:
    """A cohort of house H1, in it from the start or out of nursery N1; dark: it asks for no lamps there."""
    start = draw(st.sampled_from(["seed", "cutting"]))
    begun = draw(days(0, 150))
    planned = {"seeding" if start == "seed" else "sticking": begun}
    if not dark:
        planned["lights_off"] = begun + timedelta(days=draw(st.integers(1, 150)))
    nursery = {"nursery": "N1"} if draw(st.booleans()) else {}
    return {"id": name, "variety": "drawn", "start": start, "place": "H1", "planned": planned, **nursery}


@st.composite
def seasons(draw: st.DrawFn, dark: bool = False) -> Season:
    """Two cohorts in one house, to 50 degrees on both sides of the equator; dark: the first asks for no lamps."""
    longitude = draw(st.integers(-180, 180))
    season = season_at(
        {"latitude": draw(st.floats(-50, 50)), "longitude": longitude, "timezone": zone_of(longitude)},
        FIRST,
        LAST,
        places=[{"id": p, "kind": "nursery", "lamps": {"target_h": 24.0}} for p in ("N1", "H1")],
        varieties=[draw(varieties())],
        cohorts=[draw(cohorts("A", dark)), draw(cohorts("B"))],
    )
    return with_lamps(with_lamps(season, "N1", draw(lamps)), "H1", draw(lamps))


def zone_of(longitude: float) -> str:
    """The whole-hour zone of a longitude, so that its noon falls on the local date."""
    east = round(longitude / 15)
    return f"Etc/GMT{-east:+d}" if east else "UTC"  # these names count hours west


def with_lamps(season: Season, place: str, own: Lamps | None) -> Season:
    return replace(season, places=season.places | {place: replace(season.places[place], lamps=own)})


# --- more light


class More(NamedTuple):
    """How much a season's lamps grow: hours a night, days lights off comes later, and whether an outage is mended."""

    hours: int
    later: int
    mended: bool


def longer(own: Lamps, hours: int) -> Lamps:
    if own.target_h is not None:
        return replace(own, target_h=min(24.0, own.target_h + hours))
    assert own.on is not None
    assert own.off is not None
    starts, ends = (datetime.combine(FIRST, t) for t in (own.on, own.off))
    hour = timedelta(hours=min(hours, 4))
    return replace(own, on=(starts - hour).time(), off=(ends + hour).time())


def with_more(season: Season, more: More) -> Season:
    for place in ("N1", "H1"):
        own = season.places[place].lamps
        assert own is not None
        season = with_lamps(season, place, longer(own, more.hours))
    lit = {
        c.id: replace(
            c, planned=dict(c.planned) | {"lights_off": c.planned["lights_off"] + timedelta(days=more.later)}
        )
        for c in season.cohorts.values()
    }
    return replace(season, cohorts=lit, outages=() if more.mended else season.outages)


def triggers(plan: Plan, cohort: str) -> tuple[date, ...]:
    """Earliest, likely and latest trigger; the end of time where it never comes."""
    found = plan.timelines[cohort].stages.get("trigger")
    return (date.max,) * 3 if found is None else tuple(found.range)


def no_earlier(less: Plan, more: Plan, cohort: str) -> None:
    for sooner, later in zip(triggers(less, cohort), triggers(more, cohort), strict=True):
        assert sooner <= later, (less.timelines[cohort].stages, more.timelines[cohort].stages)
    few, many = (plan.timelines[cohort].stages.get("trigger") for plan in (less, more))
    if few is not None and many is not None:
        assert all(a <= b for a, b in zip(few.days, many.days, strict=True))


mores = st.builds(More, st.integers(0, 6), st.integers(0, 60), st.booleans())
outages = st.builds(
    lambda first, nights: Outage(place="H1", first=first, last=first + timedelta(days=nights)),
    days(0, 250),
    st.integers(0, 30),
)


@pytest.mark.slow
@QUICK
@given(seasons(), mores, outages)
def test_more_lamp_hours_never_bring_a_trigger_earlier(season: Season, more: More, outage: Outage) -> None:
    """Longer nights with lamps, later lights off, an outage mended: by the definition of a short-day plant."""
    season = replace(season, outages=(outage,))
    less, many = plan_of(season), plan_of(with_more(season, more))
    for cohort in season.cohorts:
        no_earlier(less, many, cohort)


@pytest.mark.slow
@QUICK
@given(seasons())
def test_a_season_without_lamps_triggers_no_later_than_one_with_them(season: Season) -> None:
    bare = replace(
        with_lamps(with_lamps(season, "N1", None), "H1", None),
        cohorts={
            c.id: replace(c, planned={s: d for s, d in c.planned.items() if s != "lights_off"})
            for c in season.cohorts.values()
        },
    )
    for cohort in season.cohorts:
        no_earlier(plan_of(bare), plan_of(season), cohort)


# --- shared light


@pytest.mark.slow
@QUICK
@given(seasons(dark=True))
def test_a_dark_cohort_beside_a_lit_one_never_triggers_earlier_than_alone(season: Season) -> None:
    alone = replace(season, cohorts={"A": season.cohorts["A"]})
    no_earlier(plan_of(alone), plan_of(season), "A")


# --- nothing changes nothing


@pytest.mark.slow
@QUICK
@given(seasons(), st.sampled_from(["N1", "H1"]), days(-20, 380))
def test_an_outage_of_no_nights_changes_nothing(season: Season, place: str, first: date) -> None:
    none = Outage(place=place, first=first, last=first - timedelta(days=1))
    before, after = plan_of(season), plan_of(replace(season, outages=(none,)))
    assert after.light == before.light
    assert after.timelines == before.timelines
    assert after.clashes == before.clashes


def test_an_outage_before_or_after_the_season_darkens_no_night_of_it() -> None:
    planned = {"seeding": FIRST, "lights_off": LAST}
    season = season_at(
        {"latitude": 28.0, "longitude": -82.0, "timezone": "America/New_York"},
        FIRST,
        LAST,
        places=[{"id": "H1", "kind": "hoop house", "lamps": {"target_h": 16.0}}],
        cohorts=[{"id": "A", "place": "H1", "planned": planned}],
    )
    lit = plan_of(season).light.places["H1"].lit
    assert lit[0]
    for first, last in (
        (FIRST - timedelta(days=9), FIRST - timedelta(days=1)),
        (LAST + timedelta(days=1), LAST + timedelta(days=9)),
    ):
        outage = Outage(place="H1", first=first, last=last)
        assert plan_of(replace(season, outages=(outage,))).light.places["H1"].lit == lit


# --- longitude


@pytest.mark.slow
@QUICK
@given(seasons(), st.floats(-45, 45), st.integers(-180, 180))
def test_longitude_alone_moves_no_day_of_a_season_by_two_minutes(
    season: Season, latitude: float, longitude: int
) -> None:
    """Each site in the whole-hour zone of its own longitude, against the same latitude at Greenwich.

    A date's noon is then at most half a day from Greenwich's, and to 45 degrees two days differ by at most 3.3
    minutes. Two sites on both sides of the date line are a whole day apart on one date, and may differ by that.
    """
    sites = (
        replace(season.site, latitude=latitude, longitude=east, timezone=zone_of(east))
        for east in (longitude, 0)
    )
    here, greenwich = (plan_of(replace(season, site=site)).light.natural_h for site in sites)
    assert max(abs(a - b) for a, b in zip(here, greenwich, strict=True)) < 2 / 60
