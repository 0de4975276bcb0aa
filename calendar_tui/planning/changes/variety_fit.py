"""A fit taken over: the likely figures and the sets of a variety with their marks, proposed with what they move."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Any

from calendar_tui.planning.changes.field_change import checked, short
from calendar_tui.planning.changes.proposal import Proposal
from calendar_tui.planning.changes.replan import propose
from calendar_tui.planning.changes.variety_change import FIGURES, value_text, written
from calendar_tui.planning.plan import Plan
from calendar_tui.planning.refit.fit import Fit
from calendar_tui.season.edits import Edit
from calendar_tui.season.field_names import field_words
from calendar_tui.season.records import FigureSet
from calendar_tui.season.wording import clock_text


def take_fit(plan: Plan, fit: Fit) -> Proposal:
    """The proposal that gives a variety the figures of a fit, its sets, and where they come from: one change.

    plan: of the season whose variety it is. Raises Refusal where the figures cannot be.
    """
    new = fit.fitted
    season = checked(replace(plan.season, varieties={**plan.season.varieties, new.id: new}))
    texts = [f"{field_words('variety', key)} {_text(key, getattr(new, key))}" for key in fit.changed]
    sets = f", {len(new.sets)} sets" if new.sets != fit.variety.sets else ""
    how = " fitted to" if fit.figures else ", spans by"
    what = f"{new.id}{how} records of {', '.join(fit.seasons)}: {', '.join(texts)}{sets}"
    return propose(plan, season, what, list(fit_edits(fit)))


def _text(key: str, value: Any) -> str:
    return value_text(written(FIGURES[key], value))


def fit_edits(fit: Fit) -> Iterator[Edit]:
    """The edits that give the variety of a fit its figures, sets and marks."""
    old, new = fit.variety, fit.fitted
    ident = (new.id,)
    for key in fit.changed:
        value = getattr(new, key)
        if key not in old.written or value != getattr(old, key):
            yield Edit("set", "variety", ident, (key,), written(FIGURES[key], value))
    if new.sets != old.sets:
        yield Edit("set", "variety", ident, ("sets",), [_set(one) for one in new.sets])
    for key, span in new.before_fit.items():
        if span != old.before_fit.get(key):
            yield Edit("set", "variety", ident, ("before_fit", key), written(FIGURES[key], span))
    for key in fit.changed:
        if new.marks[key] != old.marks.get(key):
            yield Edit("set", "variety", ident, ("marks", key), new.marks[key])


def _set(one: FigureSet) -> list[Any]:
    return [clock_text(one.critical_h), clock_text(one.full_h), short(one.juvenile_d), short(one.inductive_d)]
