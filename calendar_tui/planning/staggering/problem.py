"""The choice as a solver is told it: which options, of which one is taken, what they cost, and what they may not break."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum

from calendar_tui.planning.staggering.options import Option
from calendar_tui.planning.staggering.room import LimitRow
from calendar_tui.planning.staggering.shared_light import Dispute

# A limit broken by as much as there is costs more than any dates could, and leaving a cohort out more than any limits
# broken: who asks for so many cohorts is told what they need.
COST_LEFT_OUT = 1_000_000_000
COST_BROKEN = 100_000
# What nothing stretches: ground. An over-full week of a crew, a laboratory, a dryer or a bench can be worked around.
HARD = frozenset({"room"})


class Held(Enum):
    """Which limits a choice keeps: all of them; those of ground and growth alone; that of ground; or none."""

    ALL = "all"
    HARD = "hard"
    GROUND = "ground"
    NONE = "none"


@dataclass(frozen=True, slots=True)
class SolverProblem:
    """options by number; groups: of each, at most one is taken; rows and disputes: what the taken ones may not break.

    small: the numbers of the options whose plants stay small.
    """

    options: tuple[Option, ...]
    groups: tuple[tuple[int, ...], ...]
    rows: tuple[LimitRow, ...]
    disputes: tuple[Dispute, ...]
    small: frozenset[int] = frozenset()


@dataclass(frozen=True, slots=True)
class Chosen:
    """taken: the numbers of the options; best: whether nothing cheaper can be; cost: by the figures above."""

    taken: tuple[int, ...]
    best: bool
    cost: int


def problem_of(
    options: Sequence[Option], rows: Sequence[LimitRow], disputes: Sequence[Dispute], as_many_as_fit: bool
) -> SolverProblem:
    """One option for each harvest; where as many as fit are wanted, one for each harvest in each light."""
    groups: dict[tuple[int, str], list[int]] = {}
    for number, option in enumerate(options):
        groups.setdefault((option.target, option.light if as_many_as_fit else ""), []).append(number)
    return SolverProblem(tuple(options), tuple(map(tuple, groups.values())), tuple(rows), tuple(disputes))


def cost_of(problem: SolverProblem, taken: Sequence[int]) -> int:
    """What these options cost, with those left out and limits broken."""
    cost = sum(problem.options[n].cost for n in taken)
    cost += COST_LEFT_OUT * sum(not any(n in taken for n in group) for group in problem.groups)
    chosen = set(taken)
    for row in problem.rows:
        needed = sum(amount for n, amount in row.amounts if n in chosen)
        cost += round(COST_BROKEN * max(needed - row.left, 0.0) / (row.has or 1.0))
    return cost
