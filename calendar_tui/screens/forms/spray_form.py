"""The form in which a spray is recorded: at the places of cohorts or a task, today unless another day is typed."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from functools import partial

from calendar_tui.handing_on.words.cautions import SPRAY
from calendar_tui.planning.changes.held_season import HeldSeason
from calendar_tui.planning.changes.proposal import Proposal
from calendar_tui.planning.changes.sprays import PLACE, places_of, record_sprays
from calendar_tui.screens.forms.blank import Blank, FormField, Typed
from calendar_tui.screens.forms.record_fields import field_of, form_fields, in_order, understood
from calendar_tui.season.field_errors import FieldError, FieldErrors

KIND = "spray"
# What is asked first; the rest follows as the file has it. A condition is met later, in the form of its record.
_FIRST = ("place", "product", "date", "start", "end", "re-entry", "pre-harvest")
_LATER = ("cleared date", "cleared")


def spraying(cohorts: Sequence[str] = (), place: str = "") -> Blank:
    """A form for a spray of a place, of those where cohorts stand today, or of those that are typed."""
    where = partial(_given, cohorts, place)
    return Blank(
        "Record a spray",
        "of one place, or of several at once",
        partial(_fields, where),
        _read,
        partial(_propose, where),
        caution=SPRAY,
    )


def _given(cohorts: Sequence[str], place: str, held: HeldSeason) -> Mapping[str, date | str]:
    """What is filled in."""
    plan = held.plan
    there = [plan.timelines[name].stay_on(plan.today).light for name in cohorts if name in plan.timelines]
    lights = [light for light in ([place] if place else there) if plan.season.place_of(light) is not None]
    return {"date": plan.today} | ({PLACE: ", ".join(dict.fromkeys(lights))} if lights else {})


_Given = partial[Mapping[str, date | str]]


def _fields(given: _Given, held: HeldSeason, typed: Typed) -> Sequence[FormField]:
    shown = [
        f._replace(meaning="where it is; of several at once a record each, such as H1, H2")
        if f.words == PLACE
        else f
        for f in form_fields(KIND, held, given(held))
        if f.words not in _LATER
    ]
    return in_order(shown, _FIRST)


def _read(held: HeldSeason, words: str, text: str) -> str:
    if words == PLACE and text.strip():
        places = ", ".join(places_of(held.plan.season, text))
        return "" if places == text.strip() else places
    return understood(held, field_of(KIND, words), text, {})


def _propose(given: _Given, held: HeldSeason, typed: Typed) -> Proposal:
    known = {words: str(value) for words, value in given(held).items()} | dict(typed)
    places = places_of(held.plan.season, known.get(PLACE, ""))
    if not places:
        raise FieldErrors([FieldError(PLACE, "", "it is needed: where it is sprayed, such as H1, H2")])
    return record_sprays(held, places, {words: text for words, text in known.items() if text.strip()})
