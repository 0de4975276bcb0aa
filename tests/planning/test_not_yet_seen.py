"""What looks at the plants rule out of their futures, and what was projected before a record."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from statistics import NormalDist, correlation

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calendar_tui.nature.futures import COUNT, tenths
from calendar_tui.planning.changes.looks import note_looks
from calendar_tui.planning.changes.slips import record_dates
from calendar_tui.planning.changes.ticks import StageDay
from calendar_tui.planning.laying_out.figures import figures_of
from calendar_tui.planning.laying_out.timeline import Timeline
from calendar_tui.planning.plan import Plan, make_plan
from calendar_tui.planning.why.gaps import harvests_apart
from calendar_tui.planning.why.widths import width_of
from calendar_tui.season.records import Cohort, Place, Season, Site, Span, Variety
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.stages import BEFORE, LOOKED_FOR
from tests.planning.test_light_properties import FIRST, seasons

SEVERAL = settings(deadline=None, max_examples=20)
TODAY = date(2027, 10, 31)
SOWN = date(2027, 5, 10)
VARIETY = Variety(id="oil", response="short-day")


def sown(cohort: Cohort | None = None, variety: Variety = VARIETY) -> Season:
    """A cohort sown in the field at 35.8 N: likely induced on 27 August, perhaps in June, perhaps in September."""
    cohort = cohort or Cohort(id="A", variety="oil", start="seed", place="F1", planned={"seeding": SOWN})
    return Season(
        name="Looks",
        first_day=date(2027, 4, 1),
        last_day=date(2027, 12, 31),
        site=Site(latitude=35.8, longitude=-78.7, timezone="America/New_York"),
        places={"F1": Place(id="F1", kind="field")},
        varieties={"oil": variety},
        cohorts={"A": cohort},
    )


def timeline(variety: Variety = VARIETY, **dates: dict[str, date]) -> Timeline:
    season = sown(variety=variety)
    cohort = replace(season.cohorts["A"], **dates)
    return make_plan(sown(cohort, variety), TODAY).timelines["A"]


def width_d(of: Timeline, stage: str) -> int:
    return (of.stages[stage].latest - of.stages[stage].earliest).days


@pytest.mark.slow
@SEVERAL
@given(seasons(), st.sampled_from(["A", "B"]), st.sampled_from(LOOKED_FOR), st.integers(-40, 90))
def test_no_future_has_a_stage_on_a_day_on_which_it_was_not_there_yet(
    season: Season, name: str, stage: str, n: int
) -> None:
    before = make_plan(season, FIRST).timelines[name].stages.get(stage)
    if before is None:
        return
    look = before.likely + timedelta(days=n)
    cohort = replace(season.cohorts[name], not_yet={stage: look})
    after = make_plan(replace(season, cohorts={**season.cohorts, name: cohort}), FIRST).timelines[name]
    for other, at in after.stages.items():
        assert len(at.days) == COUNT
        assert at.earliest <= at.likely <= at.latest
        for earlier in BEFORE[other] & after.stages.keys():
            assert all(map(lambda a, b: a <= b, after.stages[earlier].days, at.days)), (earlier, other)
            assert after.stages[earlier].likely <= at.likely
    if stage in after.stages:
        assert min(after.stages[stage].days) > look.toordinal()
        assert after.stages[stage].likely > look
    if n < 0 and after.likely(stage) != before.likely:
        assert after.stages[stage].reason.startswith("not yet on ")


def test_a_look_leaves_the_likely_date_where_it_agrees_and_names_itself() -> None:
    before, after = timeline(), timeline(not_yet={"induced": date(2027, 8, 15)})
    assert after.likely("induced") == before.likely("induced") == date(2027, 8, 27)
    assert after.stages["induced"].reason.endswith("; not yet on 15 Aug")
    assert width_d(after, "induced") < width_d(before, "induced") / 1.3
    assert width_d(after, "harvest") < width_d(before, "harvest")


def test_a_likely_date_that_a_look_rules_out_becomes_the_middle_of_what_agrees_and_the_harvest_goes_with_it() -> (
    None
):
    before, after = timeline(), timeline(not_yet={"induced": date(2027, 9, 5)})
    stages = after.stages
    ranked = sorted(stages["induced"].days)
    assert ranked[24] <= stages["induced"].likely.toordinal() <= ranked[25]
    assert stages["induced"].reason.startswith(
        "not yet on 5 Sep; the middle of the futures that agree; by its likely figures 27 Aug: natural day "
    )
    for stage in ("flowering", "harvest", "dried"):
        moved = stages[stage].likely - before.stages[stage].likely
        assert moved == stages["induced"].likely - before.stages["induced"].likely
    assert stages["sampling"].dates[0] == stages["flowering"].likely


def test_what_no_figure_allows_is_put_off_in_every_future() -> None:
    late = timeline(not_yet={"induced": date(2027, 10, 30)}).stages
    assert set(late["induced"].days) == {date(2027, 10, 31).toordinal()}
    assert ", which its figures do not allow" in late["induced"].reason
    days = [b - a for a, b in zip(late["induced"].days, late["flowering"].days, strict=True)]
    assert min(days) < 10 < 18 < max(days)


def test_where_most_of_what_agrees_never_gets_there_it_has_no_date() -> None:
    """Its last chance is a run of days in October; a season that ends soon after the look leaves hardly any."""
    season = sown()
    cohort = replace(season.cohorts["A"], not_yet={"induced": date(2027, 9, 26)})
    short = replace(sown(cohort), last_day=date(2027, 9, 28))
    after = make_plan(short, TODAY).timelines["A"]
    assert "induced" not in after.stages
    assert "harvest" not in after.stages
    assert "in more than half of what agrees" in after.never


def test_a_look_is_weighed_by_bayes_rule() -> None:
    """Emergence after 40 +- 20 d, not there after 40 d: what is left is the upper half of a normal curve (half-normal)."""
    variety = replace(VARIETY, emergence_d=Span(40 - 20 * 1.2816, 40, 40 + 20 * 1.2816))
    at = timeline(variety, not_yet={"emergence": SOWN + timedelta(days=40)}).stages["emergence"]
    for share, day in zip((0.1, 0.9), tenths(at.days), strict=True):
        expected = 40 + 20 * NormalDist().inv_cdf(0.5 + share / 2)
        assert day - SOWN.toordinal() == pytest.approx(expected, abs=1.5)


def test_first_seen_on_a_day_it_came_after_the_last_look() -> None:
    at = timeline(not_yet={"induced": date(2027, 8, 13)}, recorded={"induced": date(2027, 8, 20)}).stages
    assert at["induced"].likely == date(2027, 8, 20)
    assert at["induced"].status_text == "recorded: not yet on 13 Aug"
    assert min(at["induced"].days) == date(2027, 8, 14).toordinal()
    assert max(at["induced"].days) == date(2027, 8, 20).toordinal()
    seen = timeline(recorded={"induced": date(2027, 8, 20)})
    assert set(seen.stages["induced"].days) == {date(2027, 8, 20).toordinal()}


@pytest.mark.slow
@SEVERAL
@given(
    seasons(), st.sampled_from(["A", "B"]), st.sampled_from(("emergence", "rooted", "induced", "flowering"))
)
def test_a_record_that_agrees_never_widens(season: Season, name: str, stage: str) -> None:
    """A stage recorded on its likely day: no later stage has a wider range than before.

    Ends are whole days, so a day is lost or won in rounding.
    """
    before = make_plan(season, FIRST).timelines[name]
    if stage not in before.stages:
        return
    recorded = {**before.cohort.recorded, stage: before.stages[stage].likely}
    cohort = replace(before.cohort, recorded=recorded)
    after = make_plan(replace(season, cohorts={**season.cohorts, name: cohort}), FIRST).timelines[name]
    for other in after.stages.keys() & before.stages.keys():
        assert width_d(after, other) <= width_d(before, other) + 1, other


def plan_on(today: date, cohort: Cohort | None = None) -> Plan:
    return make_plan(sown(cohort), today)


def test_a_look_is_one_edit_and_moves_what_hangs_on_it() -> None:
    plan = plan_on(date(2027, 9, 6))
    proposal = note_looks(plan, [StageDay("A", "induced", date(2027, 9, 5))])
    assert [(e.ident, e.field, e.value) for e in proposal.change.edits] == [
        (("A",), ("not_yet", "induced"), date(2027, 9, 5))
    ]
    assert proposal.change.what == "A induced not yet on Sun 5 Sep 2027"
    assert {"induced", "flowering", "harvest"} <= {move.stage for move in proposal.stages}


@pytest.mark.parametrize(
    ("stage", "day", "text"),
    [
        (
            "induced",
            date(2027, 9, 7),
            "Tue 7 Sep 2027 is after today, Mon 6 Sep 2027; note a look that has been",
        ),
        ("transplant", date(2027, 9, 5), "cohort A has no transplant"),
        (
            "seeding",
            date(2027, 9, 5),
            "cohort A: seeding is not looked for; not_yet may hold emergence, induced",
        ),
        ("induced", date(2027, 3, 5), "is outside the season"),
        (
            "emergence",
            date(2027, 5, 20),
            "emergence was not there yet on 20 May 2027, but emergence is recorded on",
        ),
    ],
)
def test_a_look_that_cannot_be_is_refused(stage: str, day: date, text: str) -> None:
    cohort = replace(sown().cohorts["A"], recorded={"emergence": date(2027, 5, 15)})
    with pytest.raises(Refusal, match=text):
        note_looks(plan_on(date(2027, 9, 6), cohort), [StageDay("A", stage, day)])


def test_a_look_in_place_of_a_later_one_is_questioned() -> None:
    cohort = replace(sown().cohorts["A"], not_yet={"induced": date(2027, 8, 20)})
    proposal = note_looks(plan_on(date(2027, 9, 6), cohort), [StageDay("A", "induced", date(2027, 8, 13))])
    assert "was not there yet on Fri 20 Aug 2027, later; this date replaces that one" in proposal.doubts[0]


def test_a_record_keeps_what_was_projected_just_before_it() -> None:
    plan = plan_on(date(2027, 9, 6))
    was = plan.timelines["A"].stages["induced"].range
    proposal = record_dates(plan, [StageDay("A", "induced", date(2027, 9, 1), looked=date(2027, 8, 25))])
    cohort = proposal.plan.season.cohorts["A"]
    assert cohort.forecast == {"induced": was}
    assert cohort.not_yet == {"induced": date(2027, 8, 25)}
    assert proposal.plan.timelines["A"].stages["induced"].status_text == (
        "recorded: forecast was 27 Aug (25 Jul to 17 Sep); not yet on 25 Aug"
    )
    again = record_dates(proposal.plan, [StageDay("A", "induced", date(2027, 9, 2))])
    assert again.plan.season.cohorts["A"].forecast == {"induced": was}


def test_a_planned_stage_keeps_no_forecast() -> None:
    proposal = record_dates(plan_on(date(2027, 9, 6)), [StageDay("A", "seeding", date(2027, 5, 11))])
    assert proposal.plan.season.cohorts["A"].forecast == {}


def test_a_record_before_a_look_is_refused() -> None:
    cohort = replace(sown().cohorts["A"], not_yet={"flowering": date(2027, 9, 3)})
    with pytest.raises(Refusal, match="the look must be before 2 Sep 2027"):
        record_dates(plan_on(date(2027, 9, 6), cohort), [StageDay("A", "flowering", date(2027, 9, 2))])


def test_a_stage_whose_latest_date_has_passed_is_asked_about_until_it_is_looked_for() -> None:
    late = date(2027, 9, 20)
    unsown = {c.kind for c in plan_on(late).clashes}
    assert "seeding not recorded" in unsown
    assert "emergence not seen" not in unsown
    came_up = replace(sown().cohorts["A"], recorded={"seeding": SOWN})
    kinds = {c.kind: c.text for c in plan_on(late, came_up).clashes}
    assert "induced not seen" in kinds
    assert "A induced was to come by 17 Sep at the latest" in kinds["induced not seen"]
    assert "emergence not seen" in kinds
    assert "flowering not seen" not in kinds
    looked = replace(
        sown().cohorts["A"],
        recorded={"seeding": SOWN, "emergence": date(2027, 5, 15)},
        not_yet={"induced": date(2027, 9, 19)},
    )
    assert not [c for c in plan_on(late, looked).clashes if "not seen" in c.kind]
    flowers = replace(looked, not_yet={}, recorded={**looked.recorded, "flowering": date(2027, 9, 18)})
    assert not [c for c in plan_on(late, flowers).clashes if "not seen" in c.kind]


def test_why_and_outages_go_by_the_futures_that_agree_with_the_looks() -> None:
    looked = replace(sown().cohorts["A"], recorded={"seeding": SOWN}, not_yet={"induced": date(2027, 8, 20)})
    plan = plan_on(date(2027, 8, 21), looked)
    width = width_of(plan, "A", "induced")
    assert width is not None
    assert 0.9 < sum(s.share for s in width.shares) + width.rest <= 1.01
    assert width.shares[0].figure == "critical_h"
    futures = plan.timelines["A"].futures
    assert futures is not None
    # Those with the longer critical days would be induced by then.
    known, every = futures.figures.critical_h, figures_of(VARIETY, "seed").critical_h
    assert len(known) == COUNT
    assert sum(known) < sum(every) - 0.1 * COUNT


def test_futures_after_a_look_go_with_those_of_other_cohorts_of_the_variety() -> None:
    """Sown on one day, one of them looked at: with one critical day in each future, late in one is late in the other."""
    season = sown()
    other = replace(season.cohorts["A"], id="B", not_yet={"induced": date(2027, 8, 10)})
    both = make_plan(replace(season, cohorts={**season.cohorts, "B": other}), TODAY).timelines
    days = [both[name].stages["induced"].days for name in ("A", "B")]
    assert correlation(*days) > 0.7
    assert harvests_apart(both["A"], both["B"]).most < width_d(both["A"], "harvest")


@pytest.mark.parametrize(("month", "day"), [(9, 24), (9, 30), (10, 6)])
def test_a_late_look_leaves_a_range_and_no_single_day(month: int, day: int) -> None:
    """Few in a hundred of what may be agree with it; by plain draws of the figures a week or two is left."""
    at = timeline(not_yet={"induced": date(2027, month, day)}).stages
    assert (at["induced"].latest - at["induced"].earliest).days >= 4
    assert (at["harvest"].latest - at["harvest"].earliest).days >= 14


def test_a_likely_date_that_most_of_what_agrees_lies_behind_is_left_before_it_is_ruled_out() -> None:
    """At 25.5 N, sown on 20 April: induced in June, or else in July and August; likely on 9 June by the likely figures."""
    season = sown()
    cohort = replace(
        season.cohorts["A"], planned={"seeding": date(2027, 4, 20)}, not_yet={"induced": date(2027, 6, 8)}
    )
    site = Site(latitude=25.5, longitude=-80.5, timezone="America/New_York")
    likely = {}
    for looked in (None, date(2027, 5, 20), date(2027, 6, 8), date(2027, 6, 14)):
        one = replace(cohort, not_yet={"induced": looked} if looked else {})
        likely[looked] = make_plan(replace(sown(one), site=site), TODAY).timelines["A"].likely("induced")
    assert likely[None] == likely[date(2027, 5, 20)]
    assert likely[date(2027, 6, 8)] > date(2027, 6, 15)
    assert likely[date(2027, 6, 8)] <= likely[date(2027, 6, 14)]


def test_a_look_that_rules_nothing_out_changes_no_date_and_is_named() -> None:
    before, after = timeline(), timeline(not_yet={"induced": date(2027, 5, 12)})
    assert {s: d.days for s, d in after.stages.items()} == {s: d.days for s, d in before.stages.items()}
    assert {s: d.range for s, d in after.stages.items()} == {s: d.range for s, d in before.stages.items()}
    assert after.stages["induced"].reason == f"{before.stages['induced'].reason}; not yet on 12 May"


def test_a_record_that_an_earlier_stage_was_not_there_for_is_refused_before_it_is_shown() -> None:
    cohort = replace(sown().cohorts["A"], not_yet={"induced": date(2027, 9, 3)})
    with pytest.raises(
        Refusal, match=r"the look must be before 2 Sep 2027; a look that was wrong is taken back with undo"
    ):
        record_dates(plan_on(date(2027, 9, 6), cohort), [StageDay("A", "flowering", date(2027, 9, 2))])
