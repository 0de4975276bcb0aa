"""The choice by an existing solver, OR-Tools CP-SAT: the same result each time for the same question."""

from __future__ import annotations

from collections.abc import Callable
from importlib.util import find_spec
from math import floor
from threading import Event, Thread
from typing import TYPE_CHECKING, Any

from calendar_tui.planning.staggering.problem import (
    COST_BROKEN,
    COST_LEFT_OUT,
    HARD,
    Chosen,
    Held,
    SolverProblem,
    cost_of,
)
from calendar_tui.planning.staggering.single import cheapest
from calendar_tui.season.refusal import Refusal

if TYPE_CHECKING:
    from ortools.sat.python import cp_model

# Seconds of search, by the solver's own count of its work, which does not depend on how busy the machine is.
SEARCH_S = 1.0
# The clock's limit stands so many times further out, for a machine that is far too busy.
_CLOCK_TIMES = 10
# Amounts are told to it in whole hundredths.
_PART = 100


class NoSolver(Refusal):
    """The solver is not installed. The message says how to get it."""


def never_stopped() -> bool:
    return False


def solve(
    problem: SolverProblem,
    seconds: float = SEARCH_S,
    held: Held = Held.ALL,
    hint: tuple[int, ...] = (),
    stopped: Callable[[], bool] = never_stopped,
) -> Chosen:
    """The cheapest choice found.

    seconds: of search, by the solver's own count of its work.
    held: the limits that are kept whatever it costs; the others are broken at a high price.
    hint: numbers of options to try first.
    stopped: asked ten times a second; True ends the search with what it has.
    One harvest alone needs no solver. Raises NoSolver.
    """
    if len(problem.groups) < 2:
        return cheapest(problem, held)
    return _solved(problem, seconds, held, hint, stopped)


def _solved(
    problem: SolverProblem, seconds: float, held: Held, hint: tuple[int, ...], stopped: Callable[[], bool]
) -> Chosen:
    cp = _solver()
    model = cp.CpModel()
    taken = [model.new_bool_var(f"x{n}") for n in range(len(problem.options))]
    left_out = [model.new_bool_var(f"u{n}") for n in range(len(problem.groups))]
    costs = [option.cost * x for option, x in zip(problem.options, taken, strict=True)]
    costs += [COST_LEFT_OUT * u for u in left_out]
    for group, u in zip(problem.groups, left_out, strict=True):
        model.add_exactly_one([*(taken[n] for n in group), u])
    costs += _add_rows(model, problem, taken, held)
    if held in (Held.ALL, Held.HARD):
        for n in problem.small:
            model.add(taken[n] == 0)
    _add_disputes(model, problem, taken)
    for n in hint:
        model.add_hint(taken[n], 1)
    model.minimize(sum(costs))
    solver = cp.CpSolver()
    _set(solver.parameters, seconds)
    status = _run(solver, model, stopped)
    if status not in (cp.OPTIMAL, cp.FEASIBLE):
        return Chosen(hint, False, cost_of(problem, hint))
    chosen = tuple(n for n, x in enumerate(taken) if solver.boolean_value(x))
    return Chosen(chosen, status == cp.OPTIMAL, cost_of(problem, chosen))


def missing_solver() -> str:
    """How to install the solver where it is not there, else "". Imports nothing of it."""
    try:
        there = find_spec("ortools.sat.python") is not None
    except ModuleNotFoundError:  # find_spec imports what stands above, which is not there either
        there = False
    if there:
        return ""
    return (
        "staggering several cohorts needs a solver that is not installed, 84 MB; get it with: "
        "pip install -e '.[solve]' in the folder of the program. One cohort for one harvest needs none"
    )


def need_solver() -> None:
    """Raises NoSolver, with how to install it."""
    if text := missing_solver():
        raise NoSolver(text)


def _solver() -> Any:
    need_solver()
    from ortools.sat.python import cp_model

    return cp_model


def _set(parameters: Any, seconds: float) -> None:
    """One worker and a fixed seed, so that a question has one answer. Simplifying the model first costs more than it gains."""
    parameters.max_deterministic_time = seconds
    parameters.max_time_in_seconds = seconds * _CLOCK_TIMES
    parameters.num_workers = 1
    parameters.random_seed = 1
    parameters.cp_model_presolve = False
    parameters.symmetry_level = 0


def _add_rows(model: cp_model.CpModel, problem: SolverProblem, taken: list[Any], held: Held) -> list[Any]:
    """The limits; gives what breaking them costs."""
    costs = []
    for number, row in enumerate(problem.rows):
        needed = sum(round(amount * _PART) * taken[n] for n, amount in row.amounts)
        left = floor(row.left * _PART + 0.5)
        if held is Held.ALL or (held is not Held.NONE and row.limit.kind in HARD):
            model.add(needed <= left)
            continue
        most = sum(round(amount * _PART) for _, amount in row.amounts)
        over = model.new_int_var(0, most, f"over{number}")
        model.add(needed - over <= left)
        costs.append(max(round(COST_BROKEN / (row.has or 1.0) / _PART), 1) * over)
    return costs


def _add_disputes(model: cp_model.CpModel, problem: SolverProblem, taken: list[Any]) -> None:
    for number, dispute in enumerate(problem.disputes):
        lit = model.new_bool_var(f"lit{number}")
        for n in dispute.lit:
            model.add_implication(taken[n], lit)
        for n in dispute.dark:
            model.add_implication(taken[n], ~lit)


def _run(solver: Any, model: cp_model.CpModel, stopped: Callable[[], bool]) -> Any:
    done = Event()

    def watch() -> None:
        while not done.wait(0.1):
            if stopped():
                solver.stop_search()

    watcher = Thread(target=watch, daemon=True)
    watcher.start()
    try:
        return solver.solve(model)
    finally:
        done.set()
        watcher.join()
