"""What of a season is in the means of a trial: no guard, nothing after a loss, rounds, scales, days to a half, weights."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calendar_tui.nature.field_analysis.scales import ARCSINE, COUNT, LOGIT
from calendar_tui.planning.trial_analysis.working_out import every_analysis
from tests.planning.analysed_farm import (
    DAY,
    analysed,
    figures_of,
    means_of,
    plot,
    published_season,
    season_with,
    seen,
    small,
    trial,
)

# --- what is in a mean


@given(value=st.floats(-1e6, 1e6), number=st.integers(1, 6))
@settings(max_examples=20, deadline=None)
def test_a_guard_plot_is_in_no_mean(value, number):
    """A file with a value of a guard is refused; here it is there all the same."""
    season = small()
    name = f"K1-{number}"
    guard = replace(season.plots[name], entry="guard")
    observed = tuple(replace(o, value=f"{value:.4f}") if o.at == name else o for o in season.observations)
    with_guard = replace(season, plots={**season.plots, name: guard}, observations=observed)
    without = replace(
        season,
        plots={key: one for key, one in season.plots.items() if key != name},
        observations=tuple(o for o in season.observations if o.at != name),
    )
    assert means_of(analysed(with_guard)) == means_of(analysed(without))


@pytest.mark.slow
@given(order=st.randoms(use_true_random=False))
@settings(max_examples=20, deadline=None)
def test_the_order_of_records_changes_nothing(order):
    season = published_season("yates.oats", "split plot", ["gen", "nitro"], "yield", "block", ("row", "col"))
    gone = {"K1-1", "K1-8", "K1-40"}
    season = replace(season, observations=tuple(o for o in season.observations if o.at not in gone))
    plots, observed = list(season.plots.items()), list(season.observations)
    order.shuffle(plots)
    order.shuffle(observed)
    one, other = analysed(season), analysed(replace(season, plots=dict(plots), observations=tuple(observed)))
    assert one.values == other.values
    assert figures_of(one) == figures_of(other)
    assert [of.rows for of in one.tables] == [of.rows for of in other.tables]


def test_a_lost_plot_keeps_what_was_measured_before():
    season = small()
    late = DAY + timedelta(days=7)
    lost = replace(season.plots["K1-2"], lost=late)
    after = replace(season.observations[1], date=late, value="99")
    changed = replace(season, plots={**season.plots, "K1-2": lost})
    assert means_of(analysed(changed)) == means_of(analysed(season))
    told = "Plot 2: lost on 8 Feb 2027; what was measured before that day stays in."
    assert told in analysed(changed).remarks
    only_after = (*(o for o in season.observations if o.at != "K1-2"), after)
    left_out = analysed(replace(changed, observations=only_after))
    assert [value.plot.number for value in left_out.values] == [1, 3, 4, 5, 6]
    assert "Plot 2: lost." in left_out.remarks


def test_what_was_not_looked_at_is_missing_and_never_zero():
    season = small()
    first = replace(season.observations[0], value="", state="not looked")
    one = analysed(replace(season, observations=(first, *season.observations[1:])))
    assert [value.plot.number for value in one.values] == [2, 3, 4, 5, 6]
    assert means_of(one)["plain"] == pytest.approx(12.5, abs=1e-6)


def test_a_level_that_the_trial_has_no_more_is_left_out_and_named():
    season = small()
    trials = {"K1": replace(season.trials["K1"], factors={"variety": ("amber", "plain", "byage")})}
    odd = replace(season.plots["K1-5"], treatment={"variety": "elm"})
    none = replace(season.plots["K1-6"], treatment={})
    one = analysed(replace(season, trials=trials, plots={**season.plots, "K1-5": odd, "K1-6": none}))
    assert [value.plot.number for value in one.values] == [1, 2, 3, 4]
    assert "Plot 5 with variety elm, which is no level of the trial any more: left out." in one.remarks
    assert "Plot 6 with no level of variety: left out." in one.remarks


# --- rounds


def measured_on(*days):
    """The same values again on each of these days, higher by a tenth each time."""
    season = small()
    found = tuple(
        replace(one, date=DAY + timedelta(days=day), value=f"{float(one.value) + n / 10:.1f}")
        for n, day in enumerate(days)
        for one in season.observations
    )
    return replace(season, observations=found)


def test_the_newest_round_is_analysed_or_the_one_of_a_day():
    season = measured_on(0, 7, 14)
    assert analysed(season).days == (DAY + timedelta(days=14),)
    assert means_of(analysed(season, day=DAY))["amber"] == pytest.approx(10.3667, abs=1e-4)
    assert len(analysed(season).rounds) == 3
    wrong = analysed(season, day=DAY + timedelta(days=3))
    assert (
        wrong.problem == "nothing was measured on 4 Feb 2027; it was on 1 Feb 2027, 8 Feb 2027, 15 Feb 2027"
    )


def test_a_round_may_take_days_and_has_each_plot_once():
    season = small()
    two_days = tuple(
        replace(one, date=DAY + timedelta(days=n // 3 + 7 * week))
        for week in (0, 1)
        for n, one in enumerate(season.observations)
    )
    one = analysed(replace(season, observations=two_days))
    assert one.days == (DAY + timedelta(days=7), DAY + timedelta(days=8))
    assert len(one.values) == 6
    assert any(text.startswith("Measured over 2 days, 8 Feb 2027 to 9 Feb 2027") for text in one.remarks)


def test_what_each_plot_has_once_is_one_round_however_long():
    season = small()
    spread = tuple(
        replace(one, date=DAY + timedelta(days=9 * n)) for n, one in enumerate(season.observations)
    )
    assert len(analysed(replace(season, observations=spread)).values) == 6


def test_a_round_that_has_just_begun_is_told():
    season = measured_on(0, 7)
    begun = replace(season, observations=season.observations[:9])
    assert any(
        "This round has 3 plots of the 6 that were measured on 1 Feb 2027" in text
        for text in analysed(begun).remarks
    )
    assert not any("This round" in text for text in analysed(season).remarks)


# --- scales


def test_shares_that_were_counted_are_analysed_as_logits_of_counts():
    """Haldane 1956: a half added on both sides; the value shown is what was counted."""
    one = analysed(
        small(["4 of 10", "10 of 10", "3 of 10", "9 of 10", "0 of 10", "8 of 10"], scale="share", unit="%")
    )
    assert one.analysis.question.scale == LOGIT
    assert [value.value for value in one.values] == pytest.approx([40, 100, 30, 90, 0, 80])
    logits = np.log([(k + 0.5) / (10 - k + 0.5) for k in (4, 3, 0)])
    assert means_of(one)["amber"] == pytest.approx(100 / (1 + np.exp(-logits.mean())))


def test_shares_without_counts_are_analysed_by_the_arcsine():
    one = analysed(small([40, 100, 30, 90, 0, 80], scale="share", unit="%"))
    assert one.analysis.question.scale == ARCSINE
    mean = np.mean(np.arcsin(np.sqrt([0.4, 0.3, 0.0])))
    assert means_of(one)["amber"] == pytest.approx(100 * np.sin(mean) ** 2)


def test_counts_and_counts_of_what_was_planted():
    counted = small([4, 10, 3, 9, 0, 8], scale="count", unit="1")
    assert analysed(counted).analysis.question.scale == COUNT
    variable = replace(counted.variables["yield"], planned="plants")
    planted = {name: replace(one, plants=12) for name, one in counted.plots.items()}
    of_planted = analysed(replace(counted, variables={"yield": variable}, plots=planted))
    assert of_planted.analysis.question.scale == LOGIT
    assert of_planted.values[0].value == pytest.approx(100 * 4 / 12)
    assert of_planted.measure.head == "yield (% of planted)"


def test_more_than_were_planted_is_refused_with_what_would_be_right():
    counted = small([4, 10, 3, 9, 0, 13], scale="count", unit="1", planned="plants")
    planted = {name: replace(one, plants=12) for name, one in counted.plots.items()}
    assert "13 of 12 is no count out of a total" in analysed(replace(counted, plots=planted)).problem


def test_values_under_a_limit_are_never_numbers():
    one = analysed(small(["<0.05", "0.2", "<0.05", "0.3", "0.07", "0.25"]))
    assert one.analysis is None
    assert [(c.level, c.n, c.under, c.median) for c in one.counted] == [
        (("amber",), 3, 2, None),
        (("plain",), 3, 0, 0.25),
    ]
    assert "over a limit" in analysed(small([">9", "0.2", "1", "0.3", "0.07", "0.25"])).problem


def test_words_are_counted():
    season = small(["female", "male", "female", "female", "female", "male"], scale="mark", unit="none")
    assert [(m.level, m.counts) for m in analysed(season).marks] == [
        (("amber",), {"female": 3}),
        (("plain",), {"female": 1, "male": 2}),
    ]


def test_a_scale_that_is_not_for_such_values_is_refused():
    assert (
        analysed(small(), scale=LOGIT).problem
        == "yield is not analysed on the scale logit; it takes plain, log"
    )


# --- days to a half, weights


def test_days_from_planting_to_a_half_of_each_plot():
    """The half by the logistic curve between two looks: 3 of 10 and 7 of 10 a week apart is half way."""
    share = {"id": "flowering-share", "unit": "%", "scale": "share", "stage": "flowering"}
    looks = {
        1: ("3 of 10", "7 of 10"),
        2: ("1 of 10", "9 of 10"),
        3: ("6 of 10", "9 of 10"),
        4: ("0 of 10", "2 of 10"),
    }
    plots = [
        plot(n, {"variety": "amber" if n % 2 else "plain"}, block=(n + 1) // 2, cohort="F1")
        for n in range(1, 7)
    ]
    found = [
        seen(f"K1-{n}", value, "flowering-share", DAY + timedelta(days=8 * k))
        for n in range(1, 7)
        for k, value in enumerate(looks.get(n, ("2 of 10", "8 of 10")))
    ]
    season = season_with(trial("blocks", {"variety": ("amber", "plain")}), plots, found, variable=[share])
    one = analysed(season, "days:flowering-share")
    planted = date(2026, 11, 26)
    assert {value.plot.number: value.value for value in one.values} == dict.fromkeys(
        (1, 2, 5, 6), float((DAY + timedelta(days=4) - planted).days)
    )
    assert (
        "Plot 3 is over a half at the first look, so that its day is not known, and left out." in one.remarks
    )
    assert "Plot 4 is not yet at a half at the last look, and left out." in one.remarks


def test_weights_that_were_cut_plot_by_plot_are_added_up():
    season = small()
    passes = [
        {
            "id": f"P{n}{k}",
            "date": DAY + timedelta(days=k),
            "lot": "F1",
            "plots": [f"K1-{n}"],
            "fresh_kg": {"top": n + k, "rest": 1.0},
        }
        for n in range(1, 7)
        for k in (0, 7)
    ]
    shared = {"id": "PX", "date": DAY, "lot": "F1", "plots": ["K1-5", "K1-6"], "fresh_kg": {"top": 4.0}}
    data = [{**p} for p in (*passes, shared)]
    plots = [plot(n, {"variety": "amber" if n % 2 else "plain"}, block=(n + 1) // 2) for n in range(1, 7)]
    season = season_with(trial("blocks", {"variety": ("amber", "plain")}), plots, [], **{"pass": data})
    every = {one.measure.id: one for one in every_analysis(season, season.trials["K1"])}
    assert list(every) == ["cut:all", "cut:top", "cut:rest"]
    assert [value.value for value in every["cut:top"].values] == [9, 11, 13, 15]
    assert [value.value for value in every["cut:all"].values] == [11, 13, 15, 17]
    assert any(
        text.startswith("Plots 5, 6 are cut in passes of several plots too")
        for text in every["cut:all"].remarks
    )
    assert [value.value for value in every["cut:rest"].values] == [2] * 6
