"""Spans between two recorded stages in the fit of a variety: which count, and what they are made of."""

from __future__ import annotations

from datetime import date, timedelta

from calendar_tui.planning.plan import make_plan
from calendar_tui.planning.refit.choice import Choice
from calendar_tui.planning.refit.fit import fit
from calendar_tui.season.records import Span
from tests.planning.farm import season_of
from tests.planning.fields import field_data
from tests.planning.test_fit import FOUR, SEEN

EVERY = ["A1", "A2", "A3", "A4"]


def test_spans_that_were_recorded_are_made_anew_and_others_are_left():
    """Induced to flowering 10-14-20 with 17 and 19 d: 13.5-16.7-21.4 (computed apart)."""
    data = field_data(FOUR[:2], SEEN[:2])
    for cohort, days in zip(data["cohort"], (17, 19), strict=True):
        cohort["recorded"]["flowering"] = cohort["recorded"]["induced"] + timedelta(days=days)
    found = fit([make_plan(season_of(data), date(2027, 12, 1))], "v")
    spans = {span.key: span for span in found.spans}
    assert set(spans) == {"emergence_d", "induced_to_flowering_d"}
    assert spans["induced_to_flowering_d"].after == Span(13.5, 16.7, 21.4)
    assert found.fitted.induced_to_flowering_d == Span(13.5, 16.7, 21.4)
    assert found.fitted.marks["induced_to_flowering_d"] == "measured, 2 cohorts, 2027"
    assert found.fitted.drying_d == found.variety.drying_d


def test_the_spans_at_a_doubted_date_do_not_count_until_the_record_does():
    """A date that the others contradict may be wrong, and a span that begins or ends on it with it; others count."""
    data = field_data(FOUR, [*SEEN[:3], SEEN[3] + timedelta(days=30)])
    for cohort in data["cohort"]:
        cohort["recorded"]["flowering"] = cohort["recorded"]["induced"] + timedelta(days=14)
        cohort["recorded"]["harvest"] = cohort["recorded"]["flowering"] + timedelta(days=40)
    plan = make_plan(season_of(data), date(2027, 12, 20))
    found = fit([plan], "v")
    assert [one.name.cohort for one in found.contradicted] == ["A4"]
    assert in_spans(found) == {
        "emergence_d": EVERY,
        "induced_to_flowering_d": EVERY[:3],
        "flowering_to_harvest_d": EVERY,
    }
    assert all(
        names == EVERY for names in in_spans(fit([plan], "v", Choice(counted=frozenset({"A4"})))).values()
    )


def test_the_spans_at_a_date_that_no_likely_figures_give_do_not_count():
    data = field_data(FOUR, [*SEEN[:2], SEEN[2] + timedelta(days=60), SEEN[3]])
    for cohort in data["cohort"]:
        cohort["recorded"]["flowering"] = cohort["recorded"].pop("induced") + timedelta(days=14)
        cohort["recorded"]["harvest"] = cohort["recorded"]["flowering"] + timedelta(days=30)
    found = fit([make_plan(season_of(data), date(2027, 12, 20))], "v")
    assert [(one.name.cohort, one.improbable) for one in found.left_out] == [("A3", True)]
    assert in_spans(found) == {"emergence_d": EVERY, "flowering_to_harvest_d": ["A1", "A2", "A4"]}


def in_spans(found):
    return {span.key: [name.cohort for name, _ in span.recorded] for span in found.spans}
