"""The form in which a cohort is given a further stay: where its plants stand from a date or a stage on."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from calendar_tui.planning.changes.held_season import HeldSeason
from calendar_tui.planning.changes.proposal import Proposal
from calendar_tui.planning.changes.stay_change import add_stay
from calendar_tui.screens.forms.blank import Blank, FormField, Typed
from calendar_tui.screens.forms.record_fields import field_of, form_fields, understood
from calendar_tui.season.field_errors import FieldError, FieldErrors
from calendar_tui.season.field_names import STAY
from calendar_tui.season.finders import find_cohort

COHORT = "cohort"


def adding_stay(cohort: str) -> Blank:
    """A form for a stay of this cohort, or of another that is typed."""
    return Blank("Add a stay", "", partial(_fields, cohort), _read, partial(_propose, cohort))


def _fields(cohort: str, held: HeldSeason, typed: Typed) -> Sequence[FormField]:
    names = tuple(held.plan.season.cohorts)
    value = cohort if cohort in names else ""
    return [FormField(COHORT, value, "", "whose plants they are", names), *form_fields(STAY, held, {})]


def _read(held: HeldSeason, words: str, text: str) -> str:
    if words == COHORT:
        return find_cohort(held.plan.season, text).variety if text.strip() else ""
    return understood(held, field_of(STAY, words), text, {})


def _propose(cohort: str, held: HeldSeason, typed: Typed) -> Proposal:
    name = typed.get(COHORT, cohort).strip()
    if not name:
        raise FieldErrors([FieldError(COHORT, "", "it is needed: whose plants they are")])
    given = {words: text for words, text in typed.items() if words != COHORT and text.strip()}
    return add_stay(held, find_cohort(held.plan.season, name).id, given)
