"""A cohort like another: its id and an interval are proposed, and what stands in the other fields follows from these."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from datetime import date
from functools import partial
from typing import Any

from calendar_tui.planning.changes.copying import Copies, copied, planned_dates
from calendar_tui.planning.changes.held_season import HeldSeason, Record
from calendar_tui.planning.changes.proposal import Proposal
from calendar_tui.planning.changes.record_change import copy_record
from calendar_tui.screens.forms.blank import Blank, FormField, Typed
from calendar_tui.screens.forms.record_fields import ID, field_of, form_fields, understood
from calendar_tui.screens.forms.record_forms import id_field, typed_record
from calendar_tui.season.naming import next_names
from calendar_tui.season.typed_values import NotRight, plain_value, typed_days
from calendar_tui.season.wording import days_text

LATER, TIMES, EVERY = "days later", "how many", "days between"
# Days from one planting to the next, where none are typed: common practice, no source.
USUAL_D = 14
MOST_COPIES = 60
_OWN = (ID, LATER, TIMES, EVERY)


def copying(cohort: str) -> Blank:
    """A form for a cohort, or several, like this one."""
    return Blank(
        "Add a cohort",
        f"like {cohort}",
        partial(_fields, cohort),
        partial(_read, cohort),
        partial(_propose, cohort),
        whole=True,
    )


def _fields(cohort: str, held: HeldSeason, typed: Typed) -> Sequence[FormField]:
    source = held.record("cohort", (cohort,))
    if not source:
        return ()
    later = _later(cohort, held, typed)
    shifted = copied("cohort", source, later)
    return [
        id_field("cohort", next_names(cohort, [*held.plan.season.cohorts])[0]),
        FormField(LATER, str(later), "", f"from {cohort} to the first new one, or weeks, such as 2w"),
        FormField(TIMES, "1", "cohorts", "so many, each later than the one before"),
        *_every(cohort, held, typed),
        *form_fields("cohort", held, typed_record("cohort", typed, shifted)),
    ]


def _every(cohort: str, held: HeldSeason, typed: Typed) -> Sequence[FormField]:
    """The interval between several copies, where there are several."""
    if typed.get(TIMES, "1").strip() in ("", "1"):
        return ()
    return [FormField(EVERY, str(_apart(cohort, held, typed)), "", "from each to the next")]


def _apart(cohort: str, held: HeldSeason, typed: Typed) -> int:
    """Days from each copy to the next, where none are typed: as many as to the first where that is typed, else as usual."""
    later = _typed_later(cohort, held, typed)
    return USUAL_D if later is None else later


def _later(cohort: str, held: HeldSeason, typed: Typed) -> int:
    """Days from the cohort to the first copy: as typed, else at the usual interval, the first that is not past."""
    later = _typed_later(cohort, held, typed)
    if later is not None:
        return later
    planned = planned_dates(held.record("cohort", (cohort,))).values()
    past_d = max((held.plan.today - day).days for day in planned) if planned else 0
    return USUAL_D * max(1, -(-past_d // USUAL_D))


def _typed_later(cohort: str, held: HeldSeason, typed: Typed) -> int | None:
    """Days to the first copy that are typed, or that follow from a date that is typed."""
    if LATER in typed:
        try:
            return typed_days(typed[LATER])
        except NotRight:
            return None
    source = held.record("cohort", (cohort,))
    for words, text in typed.items():
        if words not in _OWN and (shift := _shift(held, source, words, text)) is not None:
            return shift
    return None


def _shift(held: HeldSeason, source: Record, words: str, text: str) -> int | None:
    """Days by which a date that is typed is later than the one planned of the source; None where it is none."""
    try:
        field = field_of("cohort", words)
        planned: Mapping[str, Any] = planned_dates(source) if field.path[0] == "planned" else {}
        before = planned.get(field.key)
        value = plain_value(field, text, held.typing, before)
    except NotRight:
        return None
    return (value - before).days if isinstance(value, date) and before is not None else None


def _times(text: str) -> int:
    if (
        not (number := re.fullmatch(r"\d{1,3}", text.strip(), re.ASCII))
        or not 1 <= int(number[0]) <= MOST_COPIES
    ):
        raise NotRight(f"write a whole number from 1 to {MOST_COPIES}")
    return int(number[0])


def _read(cohort: str, held: HeldSeason, words: str, text: str) -> str:
    if words == ID:
        return ""
    if words == TIMES:
        names = next_names(cohort, [*held.plan.season.cohorts], _times(text))
        return f"up to {names[-1]}" if len(names) > 1 else ""
    if words in (LATER, EVERY):
        return days_text(typed_days(text))
    return understood(held, field_of("cohort", words), text, held.record("cohort", (cohort,)))


def _propose(cohort: str, held: HeldSeason, typed: Typed) -> Proposal:
    later = _later(cohort, held, typed)
    times = _times(typed.get(TIMES, "1"))
    every = typed_days(typed[EVERY]) if EVERY in typed and times > 1 else _apart(cohort, held, typed)
    given = {words: text for words, text in typed.items() if words not in _OWN}
    copies = Copies(later, times, every, typed.get(ID, "").strip())
    return copy_record(held, "cohort", (cohort,), given, copies)
