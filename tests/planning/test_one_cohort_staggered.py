"""One cohort for one harvest: chosen without a solver, as the solver chooses it."""

from __future__ import annotations

import sys
from datetime import date

import pytest

from calendar_tui.planning.staggering import solve as solving
from calendar_tui.planning.staggering.problem import Held, SolverProblem
from calendar_tui.planning.staggering.proposing import stagger
from calendar_tui.planning.staggering.single import cheapest
from calendar_tui.planning.staggering.solve import NoSolver
from tests.planning.staggered import SPACING, empty_data, planned, wish
from tests.planning.test_staggering import small_problem

WANTED = date(2027, 3, 1)
CASES = [(60, {}), (60, {"dryer_kg": 10}), (60, {"samples_per_week": 0}), (400, {})]


def one_harvest(plants: int, capacity: dict[str, float]) -> SolverProblem:
    """The first of three harvests, alone."""
    problem = small_problem(plants, 14, capacity, each=20)
    return SolverProblem(problem.options, problem.groups[:1], problem.rows, problem.disputes, problem.small)


@pytest.mark.slow
@pytest.mark.needs("ortools")
@pytest.mark.parametrize("held", list(Held))
@pytest.mark.parametrize(("plants", "capacity"), CASES)
def test_one_harvest_is_chosen_as_the_solver_chooses_it(
    plants: int, capacity: dict[str, float], held: Held
) -> None:
    problem = one_harvest(plants, capacity)
    group = set(problem.groups[0])
    assert len(group) > 5
    options = tuple(problem.options[n] for n in sorted(group))
    rows = tuple(
        type(r)(r.limit, r.day, tuple((n, a) for n, a in r.amounts if n in group), r.base, r.has)
        for r in problem.rows
    )
    assert sorted(group) == list(range(len(group)))
    alone = SolverProblem(options, problem.groups[:1], rows, (), problem.small & group)
    by_solver = solving._solved(alone, 20, held, (), solving.never_stopped)
    assert by_solver.best
    mine = cheapest(alone, held)
    assert len(mine.taken) == len(by_solver.taken)
    assert mine.cost == pytest.approx(by_solver.cost, rel=1e-3)


@pytest.mark.slow
def test_the_limits_of_these_cases_decide() -> None:
    """Else a choice that forgets a limit would pass."""
    kept = [cheapest(one_harvest(*case), held).taken for case in CASES for held in (Held.ALL, Held.NONE)]
    assert any(all_kept != none_kept for all_kept, none_kept in zip(kept[::2], kept[1::2], strict=True))


def test_one_cohort_for_one_harvest_is_proposed_without_a_solver(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "ortools.sat.python", None)
    plan = planned(empty_data())
    scheme = stagger(plan, wish(count=1, first=WANTED, every_d=None))
    (sown,) = scheme.sown
    harvest = sown.timeline.likely("harvest")
    assert harvest is not None
    assert abs((harvest - WANTED).days) <= 3
    assert sown.cohort.spacing_m == SPACING
    with pytest.raises(NoSolver, match="One cohort for one harvest needs none"):
        stagger(plan, wish())
