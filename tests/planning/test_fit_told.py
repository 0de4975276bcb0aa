"""What a fit says of itself: a figure that moves is no figure of which nothing is learnt, and worse than nothing is said."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from calendar_tui.handing_on.tables.review_rows import carried_row
from calendar_tui.handing_on.words.fit_text import reliance_lines
from calendar_tui.handing_on.words.review_text import effect_text
from calendar_tui.nature.refit import Margin
from calendar_tui.planning.refit.fit import FigureFit
from calendar_tui.planning.review.carried import carried
from tests.planning.fields import field_plan
from tests.planning.test_fit import FOUR, SEEN, fitted

BEFORE = Margin(25.0, 7.0, 16.0, 25.0, 34.0)


@pytest.mark.parametrize(
    ("mean", "left", "how"),
    [(25.0, 0.98, "not at all"), (28.0, 0.98, "not at all"), (31.0, 0.98, "a little"), (31.0, 0.5, "learnt")],
)
def test_a_figure_that_moves_by_half_its_spread_is_learnt_a_little_at_least(
    mean: float, left: float, how: str
) -> None:
    assert FigureFit("juvenile_d", BEFORE, BEFORE._replace(mean=mean), left).how == how


def test_records_with_which_it_projects_worse_than_with_none_are_looked_at_first() -> None:
    found = fitted()
    assert not any(line.startswith("!") for line in reliance_lines(found))
    off = [replace(one, by_others=one.until - timedelta(days=50)) for one in found.records]
    lines = list(reliance_lines(replace(found, records=tuple(off))))
    assert any(line.startswith("! With these records it projects worse than with none") for line in lines)


def test_a_review_that_proposes_a_fit_names_the_record_that_the_others_contradict() -> None:
    off = field_plan(FOUR, [*SEEN[:3], SEEN[3] + timedelta(days=30)])
    texts = {}
    for name, plan in {"off": off, "right": field_plan(FOUR, SEEN)}.items():
        (one,) = [one for one in carried(plan)[0] if one.id == "fit-v"]
        texts[name] = effect_text(one)
        assert carried_row(one)["doubted"] == (["A4"] if name == "off" else [])
    assert "the record of A4 does not fit its figures or each other" in texts["off"]
    assert "A4" not in texts["right"]
