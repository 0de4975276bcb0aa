"""What a place's lamps and covers do in periods, by every method, and the days that are felt under them."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calendar_tui.handing_on.words.why_text import why_text
from calendar_tui.planning.lamps.runs import lamp_runs, lamp_sheet
from calendar_tui.planning.laying_out.nights import Felt, felt_days
from calendar_tui.planning.laying_out.programmes import programme_text, programmes_of
from calendar_tui.planning.plan import Plan, make_plan
from calendar_tui.planning.why.chain import counted_days
from calendar_tui.season.records import Outage
from tests.counting import lines_run
from tests.planning.lit_house import EXTEND, FIRST, LAST, cohort, felt_h, house, laid_out, natural_h, texts

BREAK = {"method": "night-break", "from": "22:00", "to": "02:00", "kw": 1.0}
CLOCK = {"method": "clock", "from": "05:00", "to": "21:00", "kw": 1.0}
DAY = timedelta(days=1)


def period(first: date, last: date, **keys: Any) -> dict[str, Any]:
    return {"from": first, "to": last, **keys}


def blackout(first: date, last: date, on: str = "18:00", off: str = "08:00") -> dict[str, Any]:
    return period(first, last, method="blackout", on=on, off=off)


def felt_dark(season_lamps: dict[str, Any] | None, *programmes: dict[str, Any]) -> Plan:
    """A plan in which nobody asks for lamps."""
    season = house(
        season_lamps, *programmes, cohorts=[cohort("A1", "F1", planned={"sticking": date(2026, 6, 1)})]
    )
    return laid_out(season)


# --- which programme is in force


def test_the_place_s_own_lamps_stand_before_between_and_after_its_programmes() -> None:
    season = house(
        EXTEND,
        blackout(date(2026, 8, 1), date(2026, 8, 20)),
        period(date(2026, 6, 1), date(2026, 6, 10), target_h=18.0),
    )
    found = programmes_of(season, season.places["H1"])
    assert [(p.first, p.last, p.method, p.target_h) for p in found] == [
        (FIRST, date(2026, 5, 31), "extend", 16.0),
        (date(2026, 6, 1), date(2026, 6, 10), "extend", 18.0),
        (date(2026, 6, 11), date(2026, 7, 31), "extend", 16.0),
        (date(2026, 8, 1), date(2026, 8, 20), "blackout", None),
        (date(2026, 8, 21), LAST, "extend", 16.0),
    ]
    assert programmes_of(season, season.places["F1"]) == ()


def test_a_period_with_a_longer_target_is_felt_on_its_evenings_alone() -> None:
    plan = laid_out(house(EXTEND, period(date(2026, 6, 5), date(2026, 6, 9), target_h=18.0)))
    assert [felt_h(plan, date(2026, 6, d)) for d in (4, 5, 9, 10)] == [16, 18, 18, 16]


@pytest.mark.parametrize("side", ["after sunset", "before sunrise", "both"])
def test_the_side_of_a_period_changes_no_felt_day(side: str) -> None:
    season = house(EXTEND, period(date(2026, 6, 5), date(2026, 6, 9), target_h=18.0, side=side))
    plan = laid_out(season)
    assert felt_h(plan, date(2026, 6, 6)) == 18
    runs = [r for r in lamp_runs(season, "H1", plan.light) if r.date == date(2026, 6, 6)]
    assert len(runs) == (2 if side == "both" else 1)
    assert runs[0].dark_span_h == pytest.approx(6, abs=2 / 60)


# --- lamps by the clock


def test_lamps_from_5_to_21_leave_8_hours_of_dark_where_the_next_morning_is_lit_too() -> None:
    plan = laid_out(house(CLOCK))
    assert felt_h(plan, date(2026, 9, 10)) == pytest.approx(16)
    # 20 September is the first evening without lamps, so the night before has no lamps at 05:00.
    last = date(2026, 9, 19)
    assert natural_h(plan, last) < felt_h(plan, last) < 16
    assert felt_h(plan, last + DAY) == natural_h(plan, last + DAY)


def test_the_morning_of_the_first_lit_date_breaks_the_night_before_it() -> None:
    plan = laid_out(house(CLOCK))
    eve = date(2026, 5, 31)
    assert felt_h(plan, eve) > natural_h(plan, eve) + 0.5
    assert not plan.light.places["H1"].lit[plan.light.index(eve)]


def test_lamps_by_the_clock_burn_their_whole_run_whatever_the_sun_does() -> None:
    season = house(CLOCK)
    runs = list(lamp_runs(season, "H1", laid_out(season).light))
    assert {(f"{r.on:%H:%M}", f"{r.off:%H:%M}", r.lamp_h, r.kwh) for r in runs} == {
        ("05:00", "21:00", 16.0, 16.0)
    }
    assert (runs[0].date, runs[-1].date) == (date(2026, 6, 1), date(2026, 9, 19))
    assert [r.dark_span_h for r in runs][:-1] == [8.0] * (len(runs) - 1)
    assert runs[-1].dark_span_h > 9


def test_the_night_the_clock_goes_back_is_an_hour_darker_between_21_and_5() -> None:
    """The US goes back on 1 November 2026."""
    late = [cohort("A1", planned={"sticking": date(2026, 9, 1), "lights_off": date(2026, 12, 1)})]
    season = house(CLOCK, cohorts=late)
    plan = laid_out(season)
    assert felt_h(plan, date(2026, 10, 31)) == pytest.approx(15)
    assert felt_h(plan, date(2026, 11, 1)) == pytest.approx(16)
    (note,) = {r.note for r in lamp_runs(season, "H1", plan.light)} - {""}
    assert "the clock goes back 1 h" in note


def test_a_trigger_on_the_last_evening_with_lamps_says_that_no_morning_follows() -> None:
    plan = laid_out(house(CLOCK | {"to": "20:00"}))
    trigger = plan.timelines["A1"].stages["trigger"]
    assert trigger.likely == date(2026, 9, 19)  # lights off on the 20th
    assert trigger.reason.endswith("; the last evening with lamps, and a morning without")


def test_the_last_morning_without_lamps_is_no_fault_of_the_programme() -> None:
    assert texts(laid_out(house(CLOCK | {"to": "20:00"})), "A1", "lamps too short") == []
    (text,) = texts(laid_out(house(CLOCK | {"from": "08:00", "to": "18:00"})), "A1", "lamps too short")
    assert "of unbroken dark" in text


def test_an_outage_of_morning_lamps_darkens_the_night_before_as_well() -> None:
    """Lamps from 03:00 to 19:00: without those of 5 Sep, the night of the 4th runs on to sunrise."""
    season = house(CLOCK | {"from": "03:00", "to": "19:00"})
    failed = replace(season, outages=(Outage(place="H1", first=date(2026, 9, 5), last=date(2026, 9, 5)),))
    plan = laid_out(failed)
    whole = laid_out(season)
    assert felt_h(plan, date(2026, 9, 4)) < felt_h(whole, date(2026, 9, 4)) - 1
    (text,) = texts(plan, "A1", "outage")
    assert text.startswith("alert: A1, relight tomorrow: no harm done; ")
    assert text.endswith("; 1 night without the lamps of H1 from 4 Sep (natural day 12 h 49, under 14 h 00)")


# --- night breaks


def test_a_break_in_turns_holds_as_one_without_a_pause_and_burns_in_proportion() -> None:
    """6 min on, 24 off, as tried by Runkle et al. 1998, HortScience 33:672 (nothing found for hemp)."""
    whole, turns = house(BREAK), house(BREAK | {"cyclic_min": [6, 24]})
    one, two = laid_out(whole), laid_out(turns)
    assert one.light.places["H1"].felt_h == two.light.places["H1"].felt_h
    sums = [sum(r.lamp_h for r in lamp_runs(s, "H1", p.light)) for s, p in ((whole, one), (turns, two))]
    assert sums[1] == pytest.approx(sums[0] / 5)
    kwh = [sum(r.kwh or 0 for r in lamp_runs(s, "H1", p.light)) for s, p in ((whole, one), (turns, two))]
    assert kwh[1] == pytest.approx(kwh[0] / 5)
    assert "6 min on and 24 off" in programme_text(programmes_of(turns, turns.places["H1"])[0])


def test_an_outage_of_a_break_that_held_nothing_is_not_blamed_for_a_short_day() -> None:
    """A break from 20:00 to 20:10, at dusk, leaves a night of over 10 h in September: failed or not, a short day."""
    season = house(BREAK | {"from": "20:00", "to": "20:10"})
    nights = Outage(place="H1", first=date(2026, 9, 5), last=date(2026, 9, 7))
    (text,) = texts(laid_out(replace(season, outages=(nights,))), "A1", "outage")
    assert "the outage of H1 from 5 Sep changes" in text
    assert text[:6] not in ("alert:", "urgent")
    held = house(BREAK)
    (other,) = texts(laid_out(replace(held, outages=(nights,))), "A1", "outage")
    assert "urgent: A1, relight tomorrow: no harm done; " in other
    assert "; 3 nights without the lamps of H1 from 5 Sep (natural day 12 h " in other


# --- blackout


def test_covers_from_18_to_8_make_a_day_of_10_hours_in_june_for_all_who_stand_there() -> None:
    plan = felt_dark(None, blackout(date(2026, 6, 10), date(2026, 7, 10)))
    assert felt_h(plan, date(2026, 6, 10)) == felt_h(plan, date(2026, 7, 10)) == pytest.approx(10)
    for day in (date(2026, 6, 9), date(2026, 7, 11)):
        assert felt_h(plan, day) == natural_h(plan, day)


def test_a_blackout_triggers_in_midsummer_and_the_reason_names_it() -> None:
    dark = [cohort("A1", planned={"sticking": date(2026, 5, 20)})]
    plan = laid_out(house(None, blackout(date(2026, 6, 10), date(2026, 7, 10)), cohorts=dark))
    trigger = plan.timelines["A1"].stages["trigger"]
    assert trigger.likely == date(2026, 6, 10)
    assert "covered day 10 h 00 on 10 Jun is under 14 h 00" in trigger.reason
    assert "in H1 blackout, covers 18:00 to 08:00 from 10 Jun" in trigger.reason
    days = {d.day: d for d in counted_days(plan, "A1")}
    assert (days[date(2026, 6, 9)].covered, days[date(2026, 6, 10)].covered) == (False, True)
    assert any("covers drawn" in line for line in why_text(plan, "A1", "trigger"))
    assert plan.timelines["A1"].likely("induced") == date(2026, 6, 17)  # 8 whole short days


@pytest.mark.parametrize(("follows", "felt"), [(True, 9), (False, 10)])
def test_covers_on_the_night_the_clock_goes_back(follows: bool, felt: float) -> None:
    """The US goes back on 1 November 2026: from 18:00 to 08:00 is 15 h, or 14 h by a timer that stays as it was."""
    lamps = EXTEND | {"timer_follows_clock": follows}
    plan = laid_out(house(lamps, blackout(date(2026, 10, 20), date(2026, 11, 10))))
    assert felt_h(plan, date(2026, 10, 31)) == pytest.approx(felt)


def test_no_lamps_burn_under_covers_and_a_cohort_that_asks_for_them_is_told() -> None:
    season = house(EXTEND, blackout(date(2026, 7, 1), date(2026, 7, 10)))
    plan = laid_out(season)
    assert felt_h(plan, date(2026, 7, 5)) == pytest.approx(10)
    (text,) = texts(plan, "A1", "lamps under covers")
    assert (
        "asks for the lamps of H1 on 10 nights from 1 Jul of a blackout: covers lie from 18:00 to 08:00"
        in text
    )
    assert "the day is 10 h 00" in text
    covers = [r for r in lamp_runs(season, "H1", plan.light) if r.programme.method == "blackout"]
    assert [(r.lamp_h, r.kwh, r.dark_span_h) for r in covers] == [(0.0, 0.0, 14.0)] * 10
    assert plan.light.places["H1"].lit.count(True) == 111 - 10  # 1 June to 19 September


def test_an_outage_under_covers_is_harmless() -> None:
    season = house(EXTEND, blackout(date(2026, 7, 1), date(2026, 7, 10)))
    nights = Outage(place="H1", first=date(2026, 7, 3), last=date(2026, 7, 4))
    before, after = laid_out(season), laid_out(replace(season, outages=(nights,)))
    assert before.light.places["H1"].felt_h == after.light.places["H1"].felt_h
    (text,) = texts(after, "A1", "outage")
    assert text.endswith("changes nothing; covers are drawn on these evenings and no lamps burn")


# --- what is told of a programme


def test_a_period_that_leaves_short_days_is_told_with_its_own_nights() -> None:
    season = house(EXTEND, period(date(2026, 8, 20), date(2026, 8, 31), target_h=13.9))
    (text,) = texts(laid_out(season), "A1", "lamps too short")
    assert "on 12 of its nights from 20 Aug leave up to 10 h 06 of unbroken dark: a day of 13 h 54" in text
    assert "nothing burns" not in text


def test_nights_on_which_nothing_burns_and_the_day_is_short_are_counted() -> None:
    """The natural day falls through the target of 13 h 36 within the period, and is under 14 h from 31 July on."""
    season = house(
        EXTEND,
        period(date(2026, 8, 5), date(2026, 8, 31), target_h=13.6),
        period(date(2026, 6, 1), date(2026, 6, 30), target_h=14.55),
    )
    plan = laid_out(season)
    (text,) = texts(plan, "A1", "lamps too short")
    idle = sum(natural_h(plan, date(2026, 8, d)) >= 13.6 for d in range(5, 32))
    assert 5 < idle < 15
    assert f"on {idle} of them nothing burns, since the natural day is past the target of 13 h 36" in text
    # In June the natural day is past its target too, but long enough: that is told with the programme, and no clash.
    sheet = lamp_sheet(season, "H1", plan.light, plan.timelines)
    june = sum(natural_h(plan, date(2026, 6, d)) >= 14.55 for d in range(1, 31))
    assert june > 5
    assert sheet.idle.startswith(f"on {idle + june} nights from ")
    assert sheet.notes == (text,)


def test_a_programme_that_only_changes_its_side_is_named_anew() -> None:
    season = house(EXTEND, period(date(2026, 8, 20), date(2026, 9, 30), target_h=13.5))
    plan = laid_out(season)
    assert (
        "day extension to 13 h 30, after sunset from 20 Aug" in plan.timelines["A1"].stages["trigger"].reason
    )
    other = replace(season, programmes=(replace(season.programmes[0], side="both"),))
    after = make_plan(other, FIRST, plan)
    assert "13 h 30, half at each end from 20 Aug" in after.timelines["A1"].stages["trigger"].reason


def test_the_nights_of_like_places_are_worked_out_once_and_not_again_when_a_cohort_moves() -> None:
    """Counted in lines of Python run, at a site of its own so that nothing is worked out before."""
    season = house(CLOCK)
    season = replace(season, site=replace(season.site, latitude=36.789))
    one = lines_run(lambda: make_plan(season, FIRST))
    six = {f"H{n}": replace(season.places["H1"], id=f"H{n}") for n in range(1, 7)}
    cohorts = {n: replace(season.cohorts["A1"], id=n, place=n) for n in six}
    many = replace(
        season, site=replace(season.site, latitude=36.791), places=season.places | six, cohorts=cohorts
    )
    assert lines_run(lambda: make_plan(many, FIRST)) < 2 * one
    plan = make_plan(many, FIRST)
    later = replace(cohorts["H3"], replanned={"lights_off": date(2026, 9, 25)})
    moved = replace(many, cohorts=cohorts | {"H3": later})
    assert lines_run(lambda: make_plan(moved, FIRST, plan)) < one / 4


# --- what must hold of any programme

TIMES = [f"{h:02d}:{m:02d}" for h in range(24) for m in (0, 30)]
QUICK = settings(deadline=None, max_examples=40)


@QUICK
@given(
    on=st.sampled_from(TIMES), off=st.sampled_from(TIMES), first=st.integers(0, 250), days=st.integers(0, 50)
)
def test_a_blackout_never_lengthens_a_felt_day_and_touches_no_other_night(
    on: str, off: str, first: int, days: int
) -> None:
    if on == off or (int(off[:2]) * 60 + int(off[3:]) - int(on[:2]) * 60 - int(on[3:])) % 1440 > 23 * 60:
        return
    begins, ends = FIRST + first * DAY, FIRST + (first + days) * DAY
    plan = felt_dark(None, blackout(begins, ends, on, off))
    for n, (felt, natural) in enumerate(
        zip(plan.light.places["H1"].felt_h, plan.light.natural_h, strict=True)
    ):
        inside = begins <= FIRST + n * DAY <= ends
        assert felt <= natural if inside else felt == natural


@pytest.mark.slow
@QUICK
@given(
    on=st.sampled_from(TIMES), off=st.sampled_from(TIMES), method=st.sampled_from(["clock", "night-break"])
)
def test_lamps_never_shorten_a_felt_day(on: str, off: str, method: str) -> None:
    if on == off:
        return
    plan = laid_out(house({"method": method, "from": on, "to": off}))
    place = plan.light.places["H1"]
    assert all(felt >= natural for felt, natural in zip(place.felt_h, plan.light.natural_h, strict=True))


@QUICK
@given(target=st.floats(10, 20), more=st.floats(0, 4), first=st.integers(0, 150), days=st.integers(0, 60))
def test_a_period_with_a_longer_target_never_triggers_sooner(
    target: float, more: float, first: int, days: int
) -> None:
    begins, ends = FIRST + first * DAY, FIRST + (first + days) * DAY
    season = house(EXTEND, period(begins, ends, target_h=16.0))
    short, longer = (
        laid_out(replace(season, programmes=(replace(season.programmes[0], target_h=h),)))
        for h in (target, target + more)
    )
    one, two = (p.timelines["A1"].likely("trigger") or date.max for p in (short, longer))
    assert one <= two


@pytest.mark.slow
@QUICK
@given(st.sampled_from([EXTEND, BREAK, CLOCK]), st.integers(0, 200), st.integers(0, 40))
def test_the_same_lamps_written_as_a_programme_change_nothing(
    lamps: dict[str, Any], first: int, days: int
) -> None:
    names = {"from": "on", "to": "off"}
    same = {names.get(k, k): v for k, v in lamps.items() if k != "kw"}
    begins, ends = FIRST + first * DAY, FIRST + (first + days) * DAY
    one, two = laid_out(house(lamps)), laid_out(house(lamps, period(begins, ends, **same)))
    assert one.light.places["H1"].felt_h == two.light.places["H1"].felt_h
    assert one.timelines["A1"].stages["trigger"] == two.timelines["A1"].stages["trigger"]


@pytest.mark.parametrize("lamps", [None, EXTEND], ids=["dark", "lit"])
def test_covers_that_ended_before_the_span_leave_its_felt_days_alone(lamps: dict[str, Any] | None) -> None:
    """Felt days from August on, with covers that were over in May and others in October."""
    gone, later = (
        blackout(date(2026, 5, 1), date(2026, 5, 20)),
        blackout(date(2026, 10, 1), date(2026, 10, 9)),
    )
    first = date(2026, 8, 1)

    def felt(*programmes: dict[str, Any]) -> tuple[Felt, ...]:
        season = house(
            lamps, *programmes, cohorts=[cohort("A1", "F1", planned={"sticking": date(2026, 6, 1)})]
        )
        found = programmes_of(season, season.places["H1"])
        return felt_days(season.site, first, LAST, found, follows=True)

    assert len(felt(gone)) == (LAST - first).days + 1
    assert felt(gone, later) == felt(later)
    assert felt(gone) == felt()


def test_covers_cost_no_power_and_lamps_theirs() -> None:
    plan = laid_out(house(EXTEND, blackout(date(2026, 7, 1), date(2026, 7, 20))))
    runs = list(lamp_runs(plan.season, "H1", plan.light))
    covers = [run for run in runs if date(2026, 7, 1) <= run.date <= date(2026, 7, 20)]
    assert len(covers) == 20
    assert {run.kwh for run in covers} == {0.0}
    assert all(run.kwh for run in runs if run not in covers)
