"""The starting figures of a variety lie inside the ranges that sources give.

Marks: read (in the named source), computed, memory (value from memory), practice (common practice, no source),
placeholder (nothing behind it).
"""

from __future__ import annotations

import tomllib
from importlib.resources import files

import pytest

from calendar_tui.nature.plant import Response, day_count
from calendar_tui.season.records import Span, Variety

SHORT_DAY = Variety(id="any", response="short-day")
WEEK_D = 7


def added(*spans: Span) -> Span:
    return Span(*(sum(days) for days in zip(*spans, strict=True)))


# The count begins on the trigger itself, so a full count is one day less after it.
TRIGGER_TO_INDUCED = Span(*(days - 1 for days in SHORT_DAY.inductive_days))


@pytest.mark.parametrize(
    ("figure", "least", "most"),
    [
        # Germination to emergence 3-7 d in warm soil: practice.
        ("emergence_d", 3, 7),
        # Seeding to transplant 20-30 d: read, growing guides.
        ("seeding_to_transplant_d", 20, 30),
        # Sticking to rooted 14-21 d: read, trade press.
        ("rooting_d", 14, 21),
        # Drying 7-14 d under control: read, trade press.
        ("drying_d", 7, 14),
        # Half induction 8-12 d: computed, fit to the open trial records at 25.5 N.
        ("inductive_days", 8, 12),
    ],
)
def test_each_figure_lies_inside_its_quoted_range(figure: str, least: float, most: float) -> None:
    span = getattr(SHORT_DAY, figure)
    assert least <= span.early <= span.likely <= span.late <= most


def test_trays_of_242_cells_are_ready_in_the_likely_time() -> None:
    """21-25 d: read, growing guides."""
    assert 21 <= SHORT_DAY.seeding_to_transplant_d.likely <= 25


def test_harvest_comes_about_45_days_after_flowering() -> None:
    """Survey of the US Midwest, 2020: read. Most CBD 6-7 weeks after anthesis: Yang et al. 2020, read."""
    span = SHORT_DAY.flowering_to_harvest_d
    assert span.likely == 45
    assert 6 <= span.likely / WEEK_D <= 7
    assert span.early < span.likely < span.late


def test_the_juvenile_time_is_30_days_from_direct_sowing() -> None:
    """Fit to the open trial records at 25.5 N: computed; about 25 d from emergence."""
    assert added(SHORT_DAY.emergence_d, SHORT_DAY.juvenile_d).likely == 30


def test_clustered_pistils_show_7_to_14_short_days_after_the_first() -> None:
    """Value from memory, low trust."""
    assert 7 <= TRIGGER_TO_INDUCED.likely <= 14


def test_flowering_comes_14_to_28_days_after_the_trigger() -> None:
    """Placeholder: a common guess. In days that count whole."""
    span = added(TRIGGER_TO_INDUCED, SHORT_DAY.induced_to_flowering_d)
    assert 14 <= span.early <= span.late <= 28


def test_flowering_takes_8_to_12_weeks_in_all_and_week_9_is_inside() -> None:
    """8-12 weeks: read, trade. Most CBD in week 9 of flowering: clone study PMC8747189, read. From the first short day."""
    span = added(SHORT_DAY.inductive_days, SHORT_DAY.induced_to_flowering_d, SHORT_DAY.flowering_to_harvest_d)
    assert 8 * WEEK_D <= span.early <= 9 * WEEK_D <= span.late <= 12 * WEEK_D
    assert 9 <= span.likely / WEEK_D <= 10


def test_day_neutral_plants_take_70_to_85_days_from_sowing() -> None:
    """One breeder's figures: read, seed trade. 8-12 weeks, 56-84 d, in others: read, seed trade."""
    neutral = Variety(id="any", response="day-neutral")
    span = added(neutral.emergence_d, neutral.emergence_to_flowering_d, neutral.flowering_to_harvest_d)
    assert 70 <= span.likely <= 84


def test_the_thresholds_lie_inside_the_fits() -> None:
    """Full response 12.0-12.5 h, critical day 14.0-14.3 h: computed, same fits. Trigger points 12-15 h: Florida, read."""
    assert 12.0 <= SHORT_DAY.full_response_day.likely <= 12.5
    assert 14.0 <= SHORT_DAY.critical_day.likely <= 14.3


def test_the_darkness_that_flowering_needed_in_vitro_counts_in_part() -> None:
    """At least 10.8 h of dark: Moher et al. 2021, HortScience 56:108, read."""
    response = Response(
        SHORT_DAY.critical_day.likely, SHORT_DAY.full_response_day.likely, SHORT_DAY.inductive_days.likely
    )
    assert 0 < day_count(24 - 10.8, response) < 1


def test_hardening_off_starts_7_to_10_days_before_transplant() -> None:
    """Read, growing guides."""
    chores = tomllib.loads((files("calendar_tui") / "starter" / "chores.toml").read_text())["chore"]
    (hardening,) = (chore for chore in chores if chore["id"] == "harden-off")
    assert hardening["stage"] == "transplant"
    assert 7 <= -hardening["offset_d"] <= 10
