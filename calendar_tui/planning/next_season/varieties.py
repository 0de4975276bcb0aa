"""What the varieties of the next season have learnt in this one: figures fitted to the records, and what was weighed."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from typing import NamedTuple

from calendar_tui.planning.changes.variety_change import FIGURES, value_text, written
from calendar_tui.planning.changes.variety_fit import fit_edits
from calendar_tui.planning.drying.weighed import offers, weighed_of
from calendar_tui.planning.plan import Plan
from calendar_tui.planning.refit.fit import Fit, fit
from calendar_tui.planning.refit.records import years_text
from calendar_tui.planning.refit.start import FITTED_MARK, set_aside
from calendar_tui.season.edits import Edit
from calendar_tui.season.records import Variety
from calendar_tui.season.refusal import Refusal

WEIGHED_MARK = "own"
_YEARS = re.compile(r"\d{4}(?:-\d\d)?")


class NewFigure(NamedTuple):
    """A figure of a variety before and after, as texts of its unit; mark: where it comes from now."""

    variety: str
    key: str
    old: str
    new: str
    mark: str


class Learnt(NamedTuple):
    """What a variety has for the next season. sets: how many sets of figures that go together came of its fit.

    as_it_was: why nothing was fitted, "" where something was. doubted: cohorts whose records do not fit its figures, or each
    other.
    """

    variety: str
    figures: tuple[NewFigure, ...]
    sets: int
    as_it_was: str
    edits: tuple[Edit, ...]
    doubted: tuple[str, ...] = ()


def learnt(plans: Sequence[Plan], variety: Variety) -> Learnt:
    """The figures of a variety by its records. plans: of the season that is carried over, then of further ones.

    A fit begins before all earlier ones, so it is made where the seasons of these are at hand, and no evidence is lost.
    """
    fitted = _fit(plans, variety)
    edits: list[Edit] = [] if isinstance(fitted, str) else list(fit_edits(fitted))
    figures = [] if isinstance(fitted, str) else list(_fitted_figures(fitted))
    for key, changed in _weighed(plans[0], variety):
        if any(figure.key == key for figure in figures):
            continue  # a fit has counted the same days
        figures.append(_figure(variety, changed, key, WEIGHED_MARK))
        edits.append(
            Edit("set", "variety", (variety.id,), (key,), written(FIGURES[key], getattr(changed, key)))
        )
        edits.append(Edit("set", "variety", (variety.id,), ("marks", key), WEIGHED_MARK))
    why = fitted if isinstance(fitted, str) else ""
    sets = 0 if isinstance(fitted, str) or fitted.fitted.sets == variety.sets else len(fitted.fitted.sets)
    doubted = () if isinstance(fitted, str) else fitted.doubted
    return Learnt(variety.id, tuple(figures), sets, why, tuple(edits), doubted)


def _fit(plans: Sequence[Plan], variety: Variety) -> Fit | str:
    """Its fit to the records of the seasons that have it, or why there is none."""
    own = [plan for plan in plans if variety.id in plan.season.varieties]
    if missing := _missing_years(own, variety):
        return (
            f"it was fitted before to records of {', '.join(missing)}, which are not at hand; name the file of that season, "
            "such as --with last-year.toml, and all count"
        )
    try:
        return fit(own, variety.id)
    except Refusal as wrong:
        return str(wrong)


def _missing_years(plans: Sequence[Plan], variety: Variety) -> list[str]:
    """The seasons whose records an earlier fit rests on, by its marks, and that are not among these."""
    marks = [variety.marks.get(key, "") for key in set_aside(variety)]
    years = [year for mark in marks if mark.startswith(FITTED_MARK) for year in _YEARS.findall(mark)]
    there = {years_text(plan.season) for plan in plans}
    return sorted(set(years) - there)


def _fitted_figures(fitted: Fit) -> Iterator[NewFigure]:
    for key in fitted.changed:
        one = _figure(fitted.variety, fitted.fitted, key, fitted.fitted.marks[key])
        if one.old != one.new:
            yield one


def _figure(before: Variety, after: Variety, key: str, mark: str) -> NewFigure:
    old, new = (value_text(written(FIGURES[key], getattr(one, key))) for one in (before, after))
    return NewFigure(before.id, key, old, new, mark)


def _weighed(plan: Plan, variety: Variety) -> Iterator[tuple[str, Variety]]:
    weighed = weighed_of(plan.season, variety)
    if weighed is not None:
        yield from offers(weighed)
