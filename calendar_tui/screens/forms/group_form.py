"""A form for several cohorts at once: what they have alike stands in it, and what is typed is for all of them."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from calendar_tui.planning.changes.field_edits import edits_of, read_typed
from calendar_tui.planning.changes.held_season import HeldSeason
from calendar_tui.planning.changes.proposal import Proposal
from calendar_tui.planning.changes.record_change import set_fields_of_several
from calendar_tui.screens.forms.blank import Blank, FormField, Typed
from calendar_tui.screens.forms.form_view import FormView
from calendar_tui.screens.forms.record_fields import field_of, form_fields, understood
from calendar_tui.screens.forms.record_forms import changing
from calendar_tui.season.field_errors import FieldError, FieldErrors
from calendar_tui.season.wording import cohorts_text

_MOST_SHOWN = 4


def change_view(cohorts: Sequence[str]) -> FormView:
    """The view in which a cohort, or several at once, are changed."""
    return FormView(changing_all(cohorts) if len(cohorts) > 1 else changing("cohort", (cohorts[0],)))


def changing_all(cohorts: Sequence[str]) -> Blank:
    """A form for what these cohorts may have alike."""
    return Blank(
        f"Change {len(cohorts)} cohorts",
        f"{cohorts_text(cohorts)}; what is typed is for all of them",
        partial(_fields, cohorts),
        partial(_read, cohorts),
        partial(_propose, cohorts),
    )


def _there(cohorts: Sequence[str], held: HeldSeason) -> list[str]:
    return [name for name in cohorts if name in held.plan.season.cohorts]


def _fields(cohorts: Sequence[str], held: HeldSeason, typed: Typed) -> Sequence[FormField]:
    """The fields that all of them have; with the value, where it is the same, else with some of the values beside it."""
    of_each = [
        {f.words: f for f in form_fields("cohort", held, held.record("cohort", (name,)))}
        for name in _there(cohorts, held)
    ]
    if not of_each:
        return ()
    common = [words for words in of_each[0] if all(words in fields for fields in of_each)]
    return [_common([fields[words] for fields in of_each]) for words in common]


def _common(fields: Sequence[FormField]) -> FormField:
    values = list(dict.fromkeys(field.value for field in fields))
    if len(values) == 1:
        return fields[0]
    more = " ..." if len(values) > _MOST_SHOWN else ""
    shown = ", ".join(value or "none" for value in values[:_MOST_SHOWN])
    return fields[0]._replace(value="", unit=f"now {shown}{more}")


def _read(cohorts: Sequence[str], held: HeldSeason, words: str, text: str) -> str:
    """What is typed, as the first of them has it; where it counts from what each has, that is told."""
    name = next(iter(_there(cohorts, held)), "")
    note = understood(held, field_of("cohort", words), text, held.record("cohort", (name,)))
    return f"{note} for {name}" if note and text.strip()[:1] in ("+", "-") else note


def _propose(cohorts: Sequence[str], held: HeldSeason, typed: Typed) -> Proposal:
    there = _there(cohorts, held)
    try:
        return set_fields_of_several(held, "cohort", [(name,) for name in there], typed)
    except FieldErrors as wrong:
        if errors := _whose_errors(there, held, typed):
            raise FieldErrors(errors) from wrong
        raise


def _whose_errors(cohorts: Sequence[str], held: HeldSeason, typed: Typed) -> list[FieldError]:
    """What is wrong with each field, led by the cohorts that cannot have it, where it is not all of them."""
    whose: dict[str, list[str]] = {}
    first: dict[str, FieldError] = {}
    for name in cohorts:
        for error in _errors_of(name, held, typed):
            whose.setdefault(error.words, []).append(name)
            first.setdefault(error.words, error)
    return [
        error._replace(right=f"{cohorts_text(whose[words])}: {error.right}")
        if len(whose[words]) < len(cohorts)
        else error
        for words, error in first.items()
    ]


def _errors_of(cohort: str, held: HeldSeason, typed: Typed) -> Sequence[FieldError]:
    record = held.record("cohort", (cohort,))
    try:
        edits_of("cohort", (cohort,), record, read_typed(held, "cohort", typed, record))
    except FieldErrors as wrong:
        return wrong.errors
    return ()
