"""What makes a range wide, and what would narrow it: cohorts laid out in thousands of futures."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from statistics import pvariance

import pytest

from calendar_tui.handing_on.words.why_text import width_lines
from calendar_tui.nature.futures import FIGURES, shares, values
from calendar_tui.nature.sensitivity import variance_share
from calendar_tui.planning.laying_out.early import early_stages
from calendar_tui.planning.laying_out.timeline import lay_out
from calendar_tui.planning.plan import Plan, make_plan
from calendar_tui.planning.why.looks import Step
from calendar_tui.planning.why.widths import NAMES, Width, days_of, largest_shares, many_futures, width_of
from calendar_tui.season.records import Span
from tests.planning.farm import TODAY, farm
from tests.planning.test_futures_of_cohorts import field

SOWN = date(2027, 7, 1)


def shares_of(plan: Plan, stage: str) -> dict[str, float]:
    days = days_of(many_futures(plan, "A"), plan.season.last_day)[stage]
    return {name: variance_share(shares(name, len(days)), days) for name in FIGURES}


def spans_only() -> Plan:
    """A field cohort with its flowering planned, so that harvest and drying alone are uncertain."""
    season = field("35.8 N", SOWN)
    spans = {"flowering_to_harvest_d": Span(37, 45, 53), "drying_d": Span(6, 10, 14)}
    season = replace(season, varieties={"oil": replace(season.varieties["oil"], **spans)})
    cohort = replace(season.cohorts["A"], recorded={"flowering": date(2027, 9, 1)})
    return make_plan(replace(season, cohorts={"A": cohort}), SOWN)


def test_every_figure_has_a_name() -> None:
    assert tuple(sorted(NAMES)) == tuple(sorted(FIGURES))


def test_of_two_spans_in_a_row_the_shares_are_the_ratios_of_their_variances() -> None:
    """Harvest 8 d and drying 4 d to either side: 4 to 1."""
    found = shares_of(spans_only(), "dried")
    assert found["harvest_d"] == pytest.approx(0.8, abs=0.02)
    assert found["drying_d"] == pytest.approx(0.2, abs=0.02)
    assert max(share for name, share in found.items() if name not in ("harvest_d", "drying_d")) < 0.01


def alone(plan: Plan, figure: str, span: tuple[float, float, float]) -> float:
    """The variance of the harvest with one figure varying and every other one at its likely value."""
    season, cohort = plan.season, plan.season.cohorts["A"]
    variety, days = season.varieties["oil"], []
    for value in values(figure, span, 200):
        given = {"critical_day": 14.1, "full_response_day": 12.8, figure_key(figure): value}
        if figure == "critical_h":
            given["full_response_day"] = value - 1.3
        if figure == "width_h":
            given = {"critical_day": 14.1, "full_response_day": 14.1 - value}
        exact = {key: Span.exactly(value) for key, value in given.items()}
        own = replace(season, varieties={"oil": replace(variety, **exact)})
        early = early_stages(own, cohort, None, 0)
        days.append(lay_out(own, cohort, early, plan.light).stages["harvest"].likely.toordinal())
    return pvariance(days)


def figure_key(figure: str) -> str:
    return {
        "critical_h": "critical_day",
        "width_h": "full_response_day",
        "flowering_d": "induced_to_flowering_d",
        "harvest_d": "flowering_to_harvest_d",
    }[figure]


def test_one_figure_at_a_time_names_the_same_ones_in_the_same_order() -> None:
    plan = make_plan(field("35.8 N", SOWN), SOWN)
    spans = {
        "critical_h": (13.46, 14.1, 14.74),
        "width_h": (0.53, 1.3, 2.07),
        "harvest_d": (38, 45, 54),
        "flowering_d": (10, 14, 20),
    }
    by_run = {name: alone(plan, name, span) for name, span in spans.items()}
    together = shares_of(plan, "harvest")
    ranked = sorted(spans, key=by_run.__getitem__, reverse=True)
    assert ranked[0] == "critical_h" == max(together, key=together.__getitem__)
    total = sum(by_run.values())
    for name in spans:
        assert together[name] == pytest.approx(by_run[name] / total, abs=0.15), (name, by_run, together)


def test_the_largest_are_named_down_to_a_tenth_and_the_rest_is_summed() -> None:
    named, rest = largest_shares({"harvest_d": 0.62, "weather": 0.04, "critical_h": 0.2, "width_h": 0.1})
    assert [s.figure for s in named] == ["harvest_d", "critical_h", "width_h"]
    assert rest == pytest.approx(0.08)
    named, rest = largest_shares(dict.fromkeys(FIGURES, 0.08))
    assert len(named) == 1


def test_shares_come_to_one_with_the_rest() -> None:
    width = width_of(make_plan(field("35.8 N", SOWN), SOWN), "A", "harvest")
    assert width is not None
    assert sum(s.share for s in width.shares) + width.rest == pytest.approx(1.0)


def test_a_recorded_date_has_no_range_to_explain() -> None:
    season = farm(recorded={"seeding": date(2026, 11, 1), "flowering": date(2027, 2, 20)})
    assert width_of(make_plan(season, TODAY), "A1", "flowering") is None
    assert width_of(make_plan(season, TODAY), "A1", "dried") is not None


@pytest.mark.slow
def test_a_look_is_on_or_after_today_whenever_that_is() -> None:
    season = field("35.8 N", SOWN)
    for today in (SOWN, date(2027, 8, 15), date(2027, 9, 1), date(2027, 12, 1)):
        width = width_of(make_plan(season, today), "A", "harvest")
        assert width is not None
        assert width.look is None or (width.look.day is not None and width.look.day >= today)


def test_the_look_is_at_a_stage_it_rests_on_and_leaves_less() -> None:
    width = width_of(make_plan(field("35.8 N", date(2027, 5, 1)), date(2027, 5, 1)), "A", "induced")
    assert width is not None
    assert width.look is not None
    assert width.look.stage == "induced"
    assert 0 < width.left_d(width.look) < width.days
    assert width.record is None


def test_the_same_question_has_the_same_answer() -> None:
    plan = make_plan(field("35.8 N", SOWN), SOWN)
    assert width_of(plan, "A", "harvest") == width_of(plan, "A", "harvest")


def test_a_step_that_leaves_as_many_days_is_not_named() -> None:
    """Of a short range a tenth is less than a day."""
    width = Width(8, (), 1.0, None, None)
    assert width.worth(Step("flowering", None, 0.9)) is None
    assert width.worth(Step("flowering", None, 0.8)) is not None
    assert width.worth(None) is None


@pytest.mark.parametrize(
    ("today", "told"),
    [(SOWN, "Record flowering when it comes: "), (date(2028, 1, 20), "Record when flowering was: ")],
)
def test_a_record_is_asked_for_by_whether_its_stage_is_past(today: date, told: str) -> None:
    lines = list(width_lines(make_plan(field("35.8 N", SOWN), today), "A", "harvest"))
    assert any(line.startswith(told) for line in lines)
