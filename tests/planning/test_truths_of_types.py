"""What is drawn from a type of variety is seen inside the range that the type gives; and what publications read of each type."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from math import inf
from random import Random
from statistics import NormalDist

import pytest

from calendar_tui.nature.rounding import whole
from calendar_tui.planning.laying_out.timeline import Timeline
from calendar_tui.season.records import Season, Span, Variety
from calendar_tui.season.variety_types import variety_types
from tests.planning.farm import season_at
from tests.planning.test_futures_of_cohorts import SITES, laid_out, sowings

# Means and standard deviations: critical day (h), width to the full-response day (h), juvenile time (d), inductive days. Where
# each comes from is told with the type, calendar_tui/starter/variety_types.py.
DRAWN_FROM = {
    "oil-unknown": ((14.1, 0.5), (1.3, 0.6), (25, 7), (8, 2.5)),
    "oil-fitted": ((14.1, 0.25), (1.7, 0.4), (25, 5), (9, 2)),
    "oil-zhang": ((14.25, 0.3), (0.5, 0.25), (25, 7), (8, 2.5)),
    "fibre-subtropical": ((13.3, 0.4), (1.6, 0.6), (25, 7), (8, 2.5)),
    "fibre-northern": ((15.5, 0.8), (1.0, 0.6), (11, 4), (6, 2.5)),
}
TENTH = NormalDist().inv_cdf(0.9)


def grown(site, first: date, days: int, kind: str, sown: date, **place) -> Season:
    """A cohort sown in one place, of a variety that is known by its type alone."""
    variety = {"id": "lot", "response": variety_types()[kind].response, "type": kind}
    at = {"id": "G1", "kind": "greenhouse"} | place
    planned = {"seeding": sown}
    if place:
        planned["lights_off"] = first + timedelta(days=days - 1)
    return season_at(
        site,
        first,
        first + timedelta(days=days),
        places=[at],
        varieties=[variety],
        cohorts=[{"id": "A", "variety": "lot", "place": "G1", "planned": planned}],
    )


def field(site: str, sown: date, kind: str) -> Season:
    south = SITES[site]["latitude"] < 0
    return grown(SITES[site], date(2026, 9, 1) if south else date(2027, 3, 1), 330, kind, sown)


def drawn(chance: Random, kind: str, variety: Variety) -> Variety:
    """A variety of exact figures, drawn from the means and standard deviations of a type."""
    a_figure, least = iter(DRAWN_FROM[kind]), iter((0.0, 0.1, 0.0, 1.0))
    critical, width, juvenile, needed = (
        max(low, NormalDist(*figure).inv_cdf(chance.uniform(0.001, 0.999)))
        for figure, low in zip(a_figure, least, strict=True)
    )
    up = max(0.0, NormalDist(5, 2 / TENTH).inv_cdf(chance.uniform(0.001, 0.999)))
    return replace(
        variety,
        critical_day=Span.exactly(critical),
        full_response_day=Span.exactly(critical - width),
        juvenile_d=Span.exactly(juvenile),
        inductive_days=Span.exactly(needed),
        emergence_d=Span.exactly(up),
    )


@pytest.mark.parametrize("kind", DRAWN_FROM)
def test_what_is_drawn_from_a_type_is_seen_inside_its_range_in_three_to_nineteen_cases_of_twenty(
    kind: str,
) -> None:
    """Truths drawn apart from the futures, with a record 2.5 d off; 20 sowings at 5 latitudes, 8 varieties each."""
    chance, inside, cases = Random(20261128), 0, 0
    for site in SITES:
        for sown in sowings(site):
            season = field(site, sown, kind)
            projected = laid_out(season)["A"].stages.get("induced")
            for _ in range(8):
                truth = replace(season, varieties={"lot": drawn(chance, kind, season.varieties["lot"])})
                true = laid_out(truth, 0)["A"].stages.get("induced")
                off = timedelta(days=whole(chance.gauss(0, 2.5)))
                seen = season.last_day if true is None else true.likely + off
                cases += 1
                inside += projected is not None and projected.earliest <= seen <= projected.latest
    assert 0.75 <= inside / cases <= 0.95, inside / cases


@pytest.mark.parametrize("kind", DRAWN_FROM)
def test_early_and_late_of_a_type_are_the_tenth_and_the_ninetieth_percentile(kind: str) -> None:
    figures = variety_types()[kind]
    spans = (
        figures.figures["critical_day"],
        figures.width_h,
        figures.figures["juvenile_d"],
        figures.figures["inductive_days"],
    )
    # Day lengths are written to the minute, the juvenile time to the day, the count to a tenth.
    for span, (mean, sd), step in zip(spans, DRAWN_FROM[kind], (1 / 60, 1 / 60, 1, 0.1), strict=True):
        assert span.likely == pytest.approx(mean, abs=step / 2)
        assert span.early == pytest.approx(max(0, mean - TENTH * sd), abs=step)
        assert span.late == pytest.approx(mean + TENTH * sd, abs=step)


# --- as publications have it

CAROLINA = {"latitude": 35.8, "longitude": -78.7, "timezone": "America/New_York"}
WINTER = date(2026, 10, 20)


def under_days_of(hours: float, kind: str) -> Timeline:
    """A cohort under lamps that make every day so long (h), in winter, whose natural day is under 12 h."""
    lamps = {"target_h": hours}
    timeline = laid_out(grown(CAROLINA, WINTER, 150, kind, WINTER, lamps=lamps))["A"]
    assert {round(felt, 1) for felt in timeline.felt_h[30:110]} == {round(hours, 1)}
    return timeline


def delay_d(kind: str, longer: float, shorter: float) -> int:
    """How many days later plants are induced in days of so many hours than in shorter ones."""
    late, early = (under_days_of(hours, kind).likely("induced") for hours in (longer, shorter))
    assert late is not None
    assert early is not None
    return (late - early).days


def test_days_over_13_h_delay_oil_varieties_by_at_most_two_days() -> None:
    """1-2 d where the day passes 13 h, compared with 12 h: Zhang et al. 2021, Frontiers in Plant Science 12:694153, read."""
    assert 0 <= delay_d("oil-zhang", 13.25, 12) <= 2


def test_up_to_13_h_45_oil_varieties_are_hardly_delayed() -> None:
    """The delay begins between 13 h 45 and 14 h 00: Zhang et al. 2021, read."""
    assert 0 <= delay_d("oil-zhang", 13.75, 12) <= 2


def test_from_13_h_45_to_14_h_00_most_oil_varieties_are_delayed_by_5_to_13_days() -> None:
    """Zhang et al. 2021, read."""
    assert 5 <= delay_d("oil-zhang", 14, 13.75) <= 13


def test_above_14_h_the_further_delay_is_met_up_to_14_h_05_and_is_longer_from_there() -> None:
    """A further 7-8 d above 14 h: Zhang et al. 2021, read; in which days of those up to 18 h was not found.

    No straight line from no delay at 13 h 45 over 5-13 d at 14 h 00 to 7-8 d more at 14 h 15 or later fits a graded count: from the
    critical day on, here 14 h 15, the likely plants are not induced at all. The nearest is this.
    """
    assert delay_d("oil-zhang", 14 + 4 / 60, 14) < 7 <= delay_d("oil-zhang", 14 + 5 / 60, 14) <= 8
    assert under_days_of(14.25, "oil-zhang").likely("induced") is None


HOMESTEAD = {"latitude": 25.5, "longitude": -80.5, "timezone": "America/New_York"}
# The sowings of the open trial records of the University of Florida's tropical centre: one site, one year, natural days.
SOWN = (date(2019, 5, 1), date(2019, 5, 22), date(2019, 6, 21), date(2019, 7, 18))


def at_homestead(kind: str, sown: date) -> Timeline:
    return laid_out(grown(HOMESTEAD, date(2019, 4, 1), 330, kind, sown))["A"]


def after_sowing(kind: str, sown: date, stage: str) -> tuple[int, int]:
    """Earliest and latest of a stage, in days from sowing."""
    found = at_homestead(kind, sown).stages[stage]
    return (found.earliest - sown).days, (found.latest - sown).days


@pytest.mark.parametrize("sown", SOWN)
def test_northern_fibre_varieties_flower_19_to_27_days_after_sowing_whatever_the_date(sown: date) -> None:
    """Half induction in those records: computed."""
    earliest, latest = after_sowing("fibre-northern", sown, "induced")
    assert earliest <= 19 < 27 <= latest
    assert latest - earliest <= 16


@pytest.mark.parametrize("kind", ["oil-unknown", "oil-fitted"])
def test_oil_varieties_reach_half_induction_as_in_the_open_records(kind: str) -> None:
    """The first sowing took 77-79 d, the last 48 d; all four came within 47-49 d of one another: computed."""
    first, last = after_sowing(kind, SOWN[0], "induced"), after_sowing(kind, SOWN[-1], "induced")
    assert first[0] <= 77 < 79 <= first[1]
    assert last[0] <= 48 <= last[1]
    days = [at_homestead(kind, sown).stages["induced"].days for sown in SOWN]
    apart = sorted(max(of_all) - min(of_all) for of_all in zip(*days, strict=True) if inf not in of_all)
    assert apart[len(apart) // 10] <= 47 < 49 <= apart[len(apart) * 9 // 10]


def test_oil_varieties_as_zhang_et_al_read_them_do_not_explain_the_open_records() -> None:
    """Two readings of oil varieties that no one type holds: the last sowing took 48 d there."""
    assert after_sowing("oil-zhang", SOWN[-1], "induced")[1] < 48


def test_subtropical_fibre_varieties_have_the_figures_of_the_fits() -> None:
    """Full response about 11.5 h, critical day 13.2-13.4 h: computed from the same records."""
    figures = variety_types()["fibre-subtropical"].figures
    full, critical = figures["full_response_day"], figures["critical_day"]
    assert full.early <= 11.5 <= full.late
    assert abs(full.likely - 11.5) < 0.25
    assert critical.early <= 13.2 <= critical.likely <= 13.4 <= critical.late


def test_day_neutral_varieties_are_cut_70_to_85_days_after_sowing() -> None:
    """One breeder's figures (read, seed trade); earliest and latest within a day of them."""
    earliest, latest = after_sowing("day-neutral", SOWN[0], "harvest")
    assert abs(earliest - 70) <= 1
    assert abs(latest - 85) <= 1
