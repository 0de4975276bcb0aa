"""The choice for one harvest: every option is looked at, so no solver is needed."""

from __future__ import annotations

from calendar_tui.planning.staggering.problem import HARD, Chosen, Held, SolverProblem, cost_of

_EQUAL = 1e-6


def cheapest(problem: SolverProblem, held: Held = Held.ALL) -> Chosen:
    """The cheapest option of a problem of one harvest or none. held: the limits that are kept whatever it costs."""
    kept = set(range(len(problem.options))) - _breaking(problem, held)
    if held in (Held.ALL, Held.HARD):
        kept -= problem.small
    best = min(kept, key=lambda n: (cost_of(problem, (n,)), n), default=None)
    taken = () if best is None else (best,)
    return Chosen(taken, True, cost_of(problem, taken))


def _breaking(problem: SolverProblem, held: Held) -> set[int]:
    """The options that break a limit that is kept."""
    if held is Held.NONE:
        return set()
    rows = (row for row in problem.rows if held is Held.ALL or row.limit.kind in HARD)
    return {n for row in rows for n, amount in row.amounts if amount > row.left + _EQUAL}
