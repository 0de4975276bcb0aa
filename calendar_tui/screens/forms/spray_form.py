"""The form in which a spray is recorded: at the place of a cohort or a task, today unless another day is typed."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from functools import partial

from calendar_tui.handing_on.words.cautions import cautions
from calendar_tui.planning.changes.held_season import HeldSeason
from calendar_tui.planning.changes.proposal import Proposal
from calendar_tui.planning.changes.record_change import add_record
from calendar_tui.screens.forms.blank import Blank, FormField, Typed
from calendar_tui.screens.forms.record_fields import field_of, form_fields, in_order, understood
from calendar_tui.screens.forms.record_forms import new_id

KIND = "spray"
# What is asked first; the rest follows as the file has it. A condition is met later, in the form of its record.
_FIRST = ("place", "product", "date", "start", "end", "re-entry", "pre-harvest")
_LATER = ("cleared date", "cleared")


def spraying(cohort: str = "", place: str = "") -> Blank:
    """A form for a spray of a place, of the one where a cohort stands today, or of one that is typed."""
    where = partial(_given, cohort, place)
    return Blank(
        "Record a spray",
        cautions("label", "product"),
        partial(_fields, where),
        _read,
        partial(_propose, where),
    )


def _given(cohort: str, place: str, held: HeldSeason) -> Mapping[str, date | str]:
    """What is filled in."""
    plan = held.plan
    timeline = plan.timelines.get(cohort)
    light = place or ("" if timeline is None else timeline.stay_on(plan.today).light)
    known = {"place": light} if plan.season.place_of(light) is not None else {}
    return {"date": plan.today, **known}


_Given = partial[Mapping[str, date | str]]


def _fields(given: _Given, held: HeldSeason, typed: Typed) -> Sequence[FormField]:
    shown = [f for f in form_fields(KIND, held, given(held)) if f.words not in _LATER]
    return in_order(shown, _FIRST)


def _read(held: HeldSeason, words: str, text: str) -> str:
    return understood(held, field_of(KIND, words), text, {})


def _propose(given: _Given, held: HeldSeason, typed: Typed) -> Proposal:
    known = {words: str(value) for words, value in given(held).items()} | dict(typed)
    return add_record(
        held, KIND, new_id(KIND, held), {words: text for words, text in known.items() if text.strip()}
    )
