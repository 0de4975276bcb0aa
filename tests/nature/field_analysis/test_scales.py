"""Shares and counts on their scales, turned back, and values under a limit, of which no number is made."""

from __future__ import annotations

import numpy as np
import pytest
from published_trials import laid_out, plots_of

from calendar_tui.nature.field_analysis.analysis import Question, analyse
from calendar_tui.nature.field_analysis.designs import BLOCKS
from calendar_tui.nature.field_analysis.gathering import TrialProblem
from calendar_tui.nature.field_analysis.scales import ARCSINE, COUNT, LOG, LOGIT, SCALES, on_scale, shares
from calendar_tui.nature.field_analysis.under_limit import counted


def test_shares_are_analysed_as_logits_and_turned_back() -> None:
    rows = [
        {"block": b, "gen": g, "y": y}
        for b, ys in enumerate(((0.2, 0.7), (0.3, 0.9), (0.25, 0.8)))
        for g, y in zip("ab", ys, strict=True)
    ]
    question = Question(laid_out(BLOCKS, block="block", treatment="gen"), scale=LOGIT)
    found = analyse(plots_of(rows, "y"), question)
    odds = [y / (1 - y) for y in (0.2, 0.3, 0.25)]
    middle = np.prod(odds) ** (1 / 3)
    assert found.means[0].value[0] == pytest.approx(np.log(middle))
    assert found.means[0].back[0] == pytest.approx(middle / (1 + middle))
    assert found.cv == (), "a coefficient of variation of logits says nothing"


@pytest.mark.parametrize("scale", SCALES)
def test_a_scale_and_the_way_back_are_each_others_inverse(scale: str) -> None:
    values = np.array([0.001, 0.02, 0.5, 0.98, 0.999])
    assert SCALES[scale].back(on_scale(values, scale)) == pytest.approx(values)
    assert on_scale(np.array([4.0, 9.0]), COUNT) == pytest.approx([4.5**0.5, 9.5**0.5])


@pytest.mark.parametrize(
    ("scale", "value", "message"),
    [
        (LOGIT, 42.0, "42 is no share from 0 to 1; write 0.42 for 42 %"),
        (LOGIT, 1.0, "a share of 1 has no logit; give counts and what they are out of"),
        (LOG, 0.0, "0 has no logarithm"),
        (COUNT, -1.0, "-1 is under 0"),
        (ARCSINE, -0.5, "no share from 0 to 1"),
    ],
)
def test_a_value_without_a_place_on_the_scale_is_named(scale: str, value: float, message: str) -> None:
    rows = [{"block": b, "gen": g, "y": 0.5} for b in range(3) for g in "ab"]
    rows[4]["y"] = value
    with pytest.raises(TrialProblem, match=message) as wrong:
        analyse(plots_of(rows, "y"), Question(laid_out(BLOCKS, block="block", treatment="gen"), scale=scale))
    assert wrong.value.rows == (4,)


def test_counts_out_of_a_total_have_a_logit_where_none_and_all_too() -> None:
    found = shares(np.array([0.0, 10, np.nan, 4]), np.array([10.0, 10, 10, 8]), LOGIT)
    assert found == pytest.approx([0.5 / 11, 10.5 / 11, np.nan, 4.5 / 9], nan_ok=True)
    assert shares(np.array([0.0, 5]), np.array([10.0, 10]), ARCSINE) == pytest.approx([0, 0.5])
    with pytest.raises(TrialProblem, match="11 of 10 is no count out of a total"):
        shares(np.array([0.0, 11]), np.array([10.0, 10]), LOGIT)


def test_of_values_under_a_limit_no_number_is_made() -> None:
    rows = plots_of(
        [
            {"gen": g, "y": y}
            for g, ys in {"a": (1, 2, 3), "b": (4, 5, 6), "c": (7, 8, 9)}.items()
            for y in ys
        ],
        "y",
    )
    under = np.array([0, 0, 0, 1, 0, 0, 1, 1, 0], dtype=bool)
    found = counted(rows.with_values(np.where(under, np.nan, rows.values)), under, ("gen",))
    assert [(c.n, c.under, c.median) for c in found] == [(3, 0, 2.0), (3, 1, 5.0), (3, 2, None)]
    assert (found[1].lowest, found[1].highest) == (5.0, 6.0)
