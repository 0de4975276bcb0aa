"""North Bench's trial in the middle of its course: its plots as its seed draws them, and its field book half filled."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from calendar_tui.planning.field_book.due import rounds_of_week
from calendar_tui.planning.field_book.findings import rises
from calendar_tui.planning.trial_doubts import doubts_of
from calendar_tui.planning.trials.drawing import plots_of_trial
from calendar_tui.planning.trials.layout import laid_out as drawn_plots
from calendar_tui.season.records import Season
from calendar_tui.storage.opening import need_season

BENCH = Path(__file__).parents[2] / "seasons" / "north-bench.toml"


def bench() -> Season:
    return need_season(BENCH)[1]


def test_north_bench_carries_a_trial_drawn_by_its_seed_with_a_plot_lost() -> None:
    """The plots in the file are those that its seed draws."""
    season = bench()
    trial = season.trials["S1"]
    plots = plots_of_trial(season, "S1")
    drawn = {
        one.placed.number: (one.treatment, one.placed.row, one.placed.column) for one in drawn_plots(trial)
    }
    assert {plot.number: (dict(plot.treatment), plot.row, plot.column) for plot in plots} == drawn
    assert [plot.id for plot in plots if plot.lost is not None] == ["S1-203"]
    assert list(doubts_of(season, trial)) == []


def test_north_bench_has_a_field_book_half_filled() -> None:
    """Measured today as far as the second block, some left out before, and a lost plot that is not missing."""
    season = bench()
    due, late = rounds_of_week(season, date(2026, 6, 16))
    half = {one.variable: len(one.missing) for one in due if one.day == date(2026, 6, 16)}
    assert half == {"height": 6, "width": 7}
    assert {(one.day, one.variable, one.missing) for one in late} == {
        (date(2026, 6, 5), "stand", ("S1-301",)),
        (date(2026, 6, 9), "width", ("S1-402",)),
    }
    assert not any("S1-203" in one.missing for one in due)
    assert [one.at for one in season.observations if one.state] == ["S1-403", "S1-403"]
    (rise,) = rises(season)
    assert rise.half is not None
    assert rise.half.likely == season.cohorts["Q1"].recorded["flowering"]
