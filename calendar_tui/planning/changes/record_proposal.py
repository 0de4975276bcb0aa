"""The season that edits of records lead to, checked, and the proposal that saves them with the tasks they move."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence

from calendar_tui.planning.changes.chore_change import propose_kept_chores
from calendar_tui.planning.changes.field_edits import Path, Typed
from calendar_tui.planning.changes.figure_marks import FIGURE_KEYS
from calendar_tui.planning.changes.held_season import HeldSeason, Ident, edited_season
from calendar_tui.planning.changes.proposal import Proposal
from calendar_tui.planning.changes.replan import propose
from calendar_tui.season.edits import Edit
from calendar_tui.season.field_errors import FieldErrors
from calendar_tui.season.kinds import BY_NAME
from calendar_tui.season.records import Cohort, Season
from calendar_tui.season.typed_values import typed_text


def checked_season(
    held: HeldSeason,
    edits: Sequence[Edit],
    about: Mapping[str, Sequence[Ident]],
    fields: Mapping[Path, Typed],
) -> Season:
    """The season with the edits. Raises FieldErrors, each with what was typed."""
    try:
        return edited_season(held, edits, about)
    except FieldErrors as wrong:
        texts = {f.field.words: f.text for f in fields.values()}
        raise FieldErrors([e._replace(typed=texts.get(e.words, "")) for e in wrong.errors]) from wrong


def proposed(
    held: HeldSeason, season: Season, what: str, edits: Sequence[Edit], kind: str, idents: Sequence[Ident]
) -> Proposal:
    """The proposal that takes the plan to the season with these edits of records of a kind."""
    before = held.plan.season
    if kind == "chore":
        return propose_kept_chores(held.plan, season, what, edits, [str(name) for name, *_ in idents])
    cohorts = tuple(str(ident[0]) for ident in idents) if kind == "cohort" else ()
    also = set(cohorts)
    if any(_alters_work(kind, edit) for edit in edits):
        also |= {*touched(before, kind, idents), *touched(season, kind, idents)}
    places = {light for name in cohorts if name in before.cohorts for light in before.cohorts[name].lights}
    there = tuple(name for name in cohorts if name in season.cohorts)
    return propose(held.plan, season, what, edits, there, also=also, places=places)


def _alters_work(kind: str, edit: Edit) -> bool:
    """Whether an edit may alter work though no date moves: not that of a figure, whose seeds and dates are compared."""
    return kind != "variety" or not edit.field or edit.field[0] not in (*FIGURE_KEYS, "marks", "sets")


def touched(season: Season, kind: str, idents: Sequence[Ident]) -> Collection[str]:
    """The cohorts whose tasks may differ once records of this kind are changed, though no date of theirs moves."""
    if BY_NAME[kind].of_all:
        return tuple(season.cohorts)
    names = {str(ident[0]) for ident in idents if ident}
    if kind == "cohort":
        return names & season.cohorts.keys()
    if kind == "plot":
        return {season.plots[name].cohort for name in names & season.plots.keys()} & season.cohorts.keys()
    if kind in _OF_SAMPLING and season.samplings:
        return tuple(season.cohorts)
    holds = _HOLDS.get(kind)
    return [c.id for c in season.cohorts.values() if holds(c, names)] if holds else ()


_HOLDS: Mapping[str, Callable[[Cohort, Collection[str]], bool]] = {
    "variety": lambda cohort, names: cohort.variety in names,
    "place": lambda cohort, names: any(stay.place in names for stay in cohort.stays),
}

# Where a change may put bags on other days, be there a sampling plan, so that the trips are laid out anew.
_OF_SAMPLING = ("sampling", "laboratory", "lot", "pass")

# The unit of lengths of day, which are told as such and not as hours of the clock.
_LENGTHS = "h:min ["


def value_text(typed: Typed, value: object) -> str:
    """A value of a typed field in a sentence about its change."""
    text = typed_text(typed.field, value) or "none"
    return text.replace(":", " h ") if typed.field.unit.startswith(_LENGTHS) else text
