"""Planting gaps and harvest gaps."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from math import inf

from calendar_tui.planning.laying_out.timeline import Timeline
from calendar_tui.planning.plan import Plan, make_plan
from calendar_tui.planning.why.gaps import Apart, Gap, gaps, growth_of, harvests_apart
from calendar_tui.season.reading import read_season

HARVEST = date(2027, 5, 1)


def plan(lights_off: list[date | None], transplant: list[date]) -> Plan:
    """Cohorts A0, A1, ... of one variety in one lamped house each."""
    cohorts = [
        {
            "id": f"A{i}",
            "variety": "amber",
            "start": "seed",
            "nursery": "N1",
            "place": f"H{i}",
            "planned": {"seeding": date(2026, 9, 10), "transplant": day}
            | ({"lights_off": off} if off else {}),
        }
        for i, (off, day) in enumerate(zip(lights_off, transplant, strict=True))
    ]
    houses = [{"id": f"H{i}", "kind": "hoop house", "lamps": {"target_h": 16.0}} for i in range(len(cohorts))]
    data = {
        "format": 1,
        "season": {"name": "Gaps", "first_day": date(2026, 9, 1), "last_day": date(2027, 6, 30)},
        "site": {"latitude": -19.0, "longitude": 30.0, "timezone": "Africa/Harare"},
        "place": [{"id": "N1", "kind": "nursery", "lamps": {"target_h": 18.0}}, *houses],
        "variety": [{"id": "amber", "response": "short-day"}],
        "cohort": cohorts,
    }
    season = read_season(data).season
    assert season is not None
    return make_plan(season, date(2026, 9, 1))


def test_under_lamps_the_lights_off_date_sets_the_harvest_gap() -> None:
    """Common practice, no source: with lamps the lights-off date, not the transplant, sets harvest spacing."""
    planted = [date(2026, 10, 1), date(2026, 10, 29)]
    same = plan([date(2027, 3, 20)] * 2, planted)
    assert list(gaps(same.timelines)) == [Gap("amber", "A0", "A1", 28, Apart(0, 0, 0))]
    assert next(gaps(same.timelines)).text == "A1 planted 28 days after A0, harvest on the same day"
    assert Gap("amber", "A0", "A1", 0, Apart(-1, -1, -1)).text == "A1 planted with A0, harvest 1 day before"
    apart = plan([date(2027, 3, 20), date(2027, 4, 3)], planted)
    (gap,) = gaps(apart.timelines)
    assert gap.harvest is not None
    assert 12 <= gap.harvest.likely <= 14
    assert gap.harvest.least <= gap.harvest.likely <= gap.harvest.most
    start = f"A1 planted 28 days after A0, harvest {gap.harvest.likely} days after"
    assert gap.text == start + (f" ({gap.harvest.range_text})" if gap.harvest.range_text else "")
    assert Gap("amber", "A0", "A1", 28, Apart(-3, 12, 20)).text.endswith("12 days after (-3 to 20 d)")


def test_one_without_a_harvest_is_told() -> None:
    never = plan([date(2027, 3, 20), date(2027, 6, 29)], [date(2026, 10, 1), date(2026, 11, 1)])
    (gap,) = gaps(never.timelines)
    assert gap.text == "A1 planted 31 days after A0; not both have a harvest"


def test_the_range_of_a_gap_is_told_future_by_future() -> None:
    """Two under lamps to one late lights off: apart by nothing in every future, however wide the harvest's own range is."""
    planted = [date(2026, 10, 1), date(2026, 10, 29)]
    timelines = plan([date(2027, 3, 20)] * 2, planted).timelines
    harvest = timelines["A0"].stages["harvest"]
    assert (harvest.latest - harvest.earliest).days > 7
    (gap,) = gaps(timelines)
    assert gap.harvest == Apart(0, 0, 0)


def test_under_natural_days_the_gap_between_harvests_has_a_range() -> None:
    timelines = plan([None, None], [date(2026, 10, 1), date(2026, 12, 20)]).timelines
    first, second = (timelines[name].stages["harvest"].days for name in ("A0", "A1"))
    (gap,) = gaps(timelines)
    assert gap.harvest is not None
    apart = sorted(b - a for a, b in zip(first, second, strict=True))
    assert apart[4] <= gap.harvest.least <= gap.harvest.likely <= gap.harvest.most <= apart[-5]
    assert gap.harvest.least < gap.harvest.most


def test_days_of_growth_have_the_range_of_the_induction_they_are_counted_to() -> None:
    (timeline,) = plan([None], [date(2026, 12, 20)]).timelines.values()
    grown, induced = growth_of(timeline), timeline.stages["induced"]
    assert grown is not None
    assert grown.likely == timeline.growth_d
    assert grown.most - grown.least == (induced.latest - induced.earliest).days > 0
    never = plan([date(2027, 6, 29)], [date(2026, 11, 1)]).timelines["A0"]
    assert growth_of(never) is None or never.growth_d is not None


def with_harvests(likely: date, days: tuple[float, ...]) -> Timeline:
    timeline = plan([None], [date(2026, 10, 1)]).timelines["A0"]
    harvest = replace(timeline.stages["harvest"], likely=likely, days=days)
    return replace(timeline, stages={**timeline.stages, "harvest": harvest})


def test_a_future_without_one_of_the_harvests_is_left_out_of_their_gap() -> None:
    first, second = with_harvests(HARVEST, (100.0, 100.0, inf)), with_harvests(HARVEST, (110.0, inf, 130.0))
    assert harvests_apart(first, second) == Apart(0, 0, 10)


def test_the_range_of_a_gap_holds_the_likely_one() -> None:
    first, second = (with_harvests(day, (100.0,) * 50) for day in (HARVEST, HARVEST + timedelta(days=5)))
    assert harvests_apart(first, second) == Apart(0, 5, 5)
    assert harvests_apart(second, first) == Apart(-5, -5, 0)
