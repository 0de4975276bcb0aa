"""The season that comes with the program at its end: all recorded, so that it can be reviewed, analysed and begun anew."""

from __future__ import annotations

from calendar_tui.planning.plan import make_plan
from calendar_tui.planning.review.outcomes import BASES
from calendar_tui.planning.review.review import review_of
from calendar_tui.planning.trials.drawing import plots_of_trial
from tests.seasons.test_seasons import ROOT, opened


def test_bright_weir_is_at_its_end_with_all_written_down() -> None:
    """Every stage recorded, every task done, a trial of four blocks with every value, all bags and official samples reported."""
    season = opened("bright-weir")
    assert season.example_today is not None
    assert season.example_today <= season.last_day
    for cohort in season.cohorts.values():
        assert {"transplant", "induced", "flowering", "harvest", "dried"} <= set(cohort.recorded), cohort.id
        assert max(cohort.recorded.values()) < season.example_today
        assert set(cohort.forecast_at_start) >= {"induced", "flowering", "harvest", "dried"}
    assert {task.state for task in season.tasks} == {"done"}
    assert sum(task.spent is not None for task in season.tasks) > 100
    assert {plot.block for plot in plots_of_trial(season, "D1")} == {1, 2, 3, 4}
    plots = [plot.id for plot in plots_of_trial(season, "D1")]
    assert {(one.at, one.variable) for one in season.observations} == {
        (plot, variable) for plot in plots for variable in season.variables
    }
    assert {sample.id for sample in season.samples.values()} == {r.sample for r in season.results.values()}
    assert {one.outcome for one in season.officials.values()} == {"passed"}
    assert all(batch.out for batch in season.batches.values())
    assert len(season.outages) == 2
    assert (ROOT / "seasons" / "bright-weir.toml").stat().st_size < 120_000


def test_bright_weir_has_a_review_with_nothing_missing_but_a_cause() -> None:
    season = opened("bright-weir")
    assert season.example_today is not None
    review = review_of(make_plan(season, season.example_today))
    (missing,) = review.missing
    assert "has no cause" in missing
    assert {score.basis for score in review.scores} == set(BASES)
    better = {one.id: one.effect for one in review.carried}
    assert better["fit-linnet"].after < better["fit-linnet"].before
    assert better["fit-plover"].after < better["fit-plover"].before
    assert {"hours-scout", "water-linnet", "turnaround-reed-lab"} <= set(better)
