"""The designs of field trials as tables: which terms a plot's value is made of, and by which error each treatment is tested.

Error terms and their degrees of freedom: Gomez and Gomez 1984, Statistical Procedures for Agricultural Research, chapters
2 to 4; augmented blocks: Federer 1956 (Hawaiian Planters' Record 55:191); alpha: Patterson and Williams 1976 (Biometrika 63:83).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import combinations, product
from typing import NamedTuple

from calendar_tui.nature.layouts.designs import (
    ALPHA,
    AUGMENTED,
    BLOCKS,
    COMPLETE,
    LATIN,
    SPLIT,
    SPLIT_SPLIT,
    STRIP,
)

# What a term is: ground that is laid out, a treatment, an error that tests the treatments since the error before it.
GROUND, TREATMENT, ERROR = "ground", "treatment", "error"
# A treatment that stands in one place a level: it is laid out, and nothing tests it.
UNTESTED = "untested"
TREATMENTS, MAIN, SUB, SUBSUB = APPLIED = ("treatment", "main", "sub", "subsub")
BLOCK, ROW, COLUMN, REPLICATE, UNIT = "block", "row", "column", "replicate", "unit"
_ALL = "*"  # stands for the residual: every plot by itself


class Term(NamedTuple):
    """factors: the columns whose combinations are its levels; none for the residual. kind: GROUND, TREATMENT, UNTESTED or ERROR."""

    factors: tuple[str, ...]
    kind: str

    @property
    def is_residual(self) -> bool:
        return not self.factors


class Design(NamedTuple):
    """roles: columns it needs; rows: terms as roles, with their kind, in order.

    fixed_ground: ground that stays fixed where values are missing. solved: always by least squares or REML, never by sums.
    """

    roles: tuple[str, ...]
    rows: tuple[tuple[str, str], ...]
    fixed_ground: tuple[str, ...] = ()
    solved: bool = False


_RESIDUAL = (_ALL, ERROR)
DESIGNS: Mapping[str, Design] = {
    COMPLETE: Design((TREATMENTS,), ((TREATMENTS, TREATMENT), _RESIDUAL)),
    BLOCKS: Design(
        (BLOCK, TREATMENTS),
        ((BLOCK, GROUND), (TREATMENTS, TREATMENT), _RESIDUAL),
    ),
    LATIN: Design(
        (ROW, COLUMN, TREATMENTS),
        ((ROW, GROUND), (COLUMN, GROUND), (TREATMENTS, TREATMENT), _RESIDUAL),
    ),
    SPLIT: Design(
        (BLOCK, MAIN, SUB),
        (
            (BLOCK, GROUND),
            (MAIN, TREATMENT),
            (f"{BLOCK} {MAIN}", ERROR),
            (SUB, TREATMENT),
            (f"{MAIN} {SUB}", TREATMENT),
            _RESIDUAL,
        ),
    ),
    SPLIT_SPLIT: Design(
        (BLOCK, MAIN, SUB, SUBSUB),
        (
            (BLOCK, GROUND),
            (MAIN, TREATMENT),
            (f"{BLOCK} {MAIN}", ERROR),
            (SUB, TREATMENT),
            (f"{MAIN} {SUB}", TREATMENT),
            (f"{BLOCK} {MAIN} {SUB}", ERROR),
            (SUBSUB, TREATMENT),
            (f"{MAIN} {SUBSUB}", TREATMENT),
            (f"{SUB} {SUBSUB}", TREATMENT),
            (f"{MAIN} {SUB} {SUBSUB}", TREATMENT),
            _RESIDUAL,
        ),
    ),
    STRIP: Design(
        (BLOCK, MAIN, SUB),
        (
            (BLOCK, GROUND),
            (MAIN, TREATMENT),
            (f"{BLOCK} {MAIN}", ERROR),
            (SUB, TREATMENT),
            (f"{BLOCK} {SUB}", ERROR),
            (f"{MAIN} {SUB}", TREATMENT),
            _RESIDUAL,
        ),
    ),
    AUGMENTED: Design(
        (BLOCK, TREATMENTS),
        ((BLOCK, GROUND), (TREATMENTS, TREATMENT), _RESIDUAL),
        fixed_ground=(BLOCK,),
        solved=True,
    ),
    ALPHA: Design(
        (REPLICATE, BLOCK, TREATMENTS),
        ((REPLICATE, GROUND), (f"{REPLICATE} {BLOCK}", GROUND), (TREATMENTS, TREATMENT), _RESIDUAL),
        fixed_ground=(REPLICATE,),
        solved=True,
    ),
}

# The same where the place is the unit: main units are places, in which sub-plots, and blocks if any, stand.
_PLACES = (
    (MAIN, TREATMENT),
    (f"{MAIN} {UNIT}", ERROR),
    (SUB, TREATMENT),
    (f"{MAIN} {SUB}", TREATMENT),
    _RESIDUAL,
)
_ONE_PLACE_A_LEVEL = (
    (MAIN, UNTESTED),
    (f"{MAIN} {UNIT} {BLOCK}", GROUND),
    (SUB, TREATMENT),
    (f"{MAIN} {SUB}", UNTESTED),
    _RESIDUAL,
)
# The designs of which a place can be the unit, and those whose blocks do not have all treatments.
WITH_UNIT, INCOMPLETE = (COMPLETE, SPLIT), (AUGMENTED, ALPHA)


class Layout(NamedTuple):
    """The design of one trial. columns: those of each role; several treatments of a role are crossed.

    interactions: whether combinations of treatments are terms. replicated: whether some level of a treatment that is
    applied to whole units (role "unit") has more than one of them.
    """

    design: str
    columns: Mapping[str, tuple[str, ...]]
    interactions: bool = True
    replicated: bool = True

    def terms(self) -> tuple[Term, ...]:
        """In the order in which they are swept out; the residual is the last."""
        return tuple(term for row in self._rows() for term in self._terms_of(*row))

    def factors(self) -> tuple[str, ...]:
        """The columns that hold treatments."""
        return tuple(name for role in APPLIED for name in self.columns.get(role, ()))

    def fixed_ground(self) -> tuple[tuple[str, ...], ...]:
        return tuple(self.columns[role] for role in DESIGNS[self.design].fixed_ground)

    def _rows(self) -> tuple[tuple[str, str], ...]:
        if self.design == SPLIT and UNIT in self.columns:
            return _PLACES if self.replicated else _ONE_PLACE_A_LEVEL
        return DESIGNS[self.design].rows

    def _terms_of(self, roles: str, kind: str) -> Iterator[Term]:
        if roles == _ALL:
            yield Term((), kind)
            return
        columns = [self.columns[role] for role in roles.split() if role in self.columns]
        if kind in (GROUND, ERROR):
            yield Term(tuple(name for names in columns for name in names), kind)
            return
        for chosen in product(*map(_subsets, columns)):
            names = tuple(name for part in chosen for name in part)
            if self.interactions or len(names) == 1:
                yield Term(names, kind)


def _subsets(names: Sequence[str]) -> list[tuple[str, ...]]:
    return [chosen for size in range(1, len(names) + 1) for chosen in combinations(names, size)]


def lacking_roles(design: str, columns: Mapping[str, Sequence[str]]) -> list[str]:
    """The roles that a design needs and that have no column; its block is not needed where a place is the unit."""
    spared = {BLOCK} if UNIT in columns and design == SPLIT else set()
    return [role for role in DESIGNS[design].roles if role not in columns and role not in spared]
