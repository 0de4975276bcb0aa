"""The form in which a step of an official sample is recorded: asked for, booked, taken, passed or failed."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from functools import partial

from calendar_tui.handing_on.words.cautions import cautions
from calendar_tui.planning.changes.held_season import HeldSeason
from calendar_tui.planning.changes.official_steps import NO_PRODUCER, OUTCOMES, STEPS, Report, recorded_step
from calendar_tui.planning.changes.proposal import Proposal
from calendar_tui.planning.cutting.official_state import TAKEN, official_state
from calendar_tui.screens.forms.blank import Blank, FormField, Typed
from calendar_tui.season.field_errors import FieldError, FieldErrors
from calendar_tui.season.lots import find_sampled_lots
from calendar_tui.season.records import Season
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.rules import AFTER, Lot
from calendar_tui.season.typed_dates import FROM_TODAY, read_day_text, typed_in_season

STEP, DATE, WHO, TOTAL, UNCERTAINTY, RELATIVE, WHAT_AFTER, LOTS = (
    "step",
    "date",
    "who",
    "total",
    "uncertainty",
    "relative",
    "after",
    "lots",
)
YES, NO = "yes", "no"
LOTS_MEANING = "of which lots it is, such as A1, B2; figures of a report are of one"


def official_step(lots: Sequence[Lot]) -> Blank:
    """A form for the next step of the official samples of these lots, which is that of the first; more of them may be typed."""
    return Blank(
        f"Official sample of {', '.join(lot.id for lot in lots)}",
        NO_PRODUCER,
        partial(_fields, lots),
        _read,
        partial(_record, lots),
        whole=True,
        caution=cautions("agent", "producer", "over", "disposal", "verdicts"),
    )


def next_step(season: Season, lot: Lot) -> str:
    """The step that is likely next: the one after what is recorded."""
    now = official_state(season, lot)
    if now.coming is not None:
        return STEPS[STEPS.index(now.coming.state) + 1]
    unreported = now.taken is not None and not now.taken.outcome
    return OUTCOMES[0] if unreported else STEPS[0]


def _fields(lots: Sequence[Lot], held: HeldSeason, typed: Typed) -> Sequence[FormField]:
    begun = next_step(held.plan.season, lots[0])
    step = typed.get(STEP, begun).strip().casefold()
    fields = [
        FormField(STEP, begun, "", "what happened", (*STEPS, *OUTCOMES)),
        FormField(DATE, "", "such as 12 Nov, fri or +9", _day_meaning(step)),
    ]
    return [*fields, *_fields_of(step), FormField(LOTS, ", ".join(lot.id for lot in lots), "", LOTS_MEANING)]


def _fields_of(step: str) -> Sequence[FormField]:
    """What goes with a step."""
    if step not in OUTCOMES:
        return [FormField(WHO, "", "", f"the authorised agent; {NO_PRODUCER}")]
    fields = [
        FormField(TOTAL, "", "%", "total THC as reported"),
        FormField(UNCERTAINTY, "", "percentage points", "the measurement uncertainty; not given is not zero"),
        FormField(RELATIVE, NO, "", "whether the uncertainty is in % of the total", (NO, YES)),
    ]
    if step == OUTCOMES[0]:
        return fields
    return [*fields, FormField(WHAT_AFTER, "", "", "what the authority has follow", AFTER)]


def _day_meaning(step: str) -> str:
    if step in OUTCOMES:
        return "the day of the report; without one, today"
    return (
        "the day on which it was taken; without one, today"
        if step == TAKEN
        else f"for which day it is {step}"
    )


def _read(held: HeldSeason, words: str, text: str) -> str:
    if words == DATE and text.strip():
        past, to_come = (_day(held, text, happened=happened) for happened in (True, False))
        # A weekday is the last one or the next, by the step; what is recorded names it in full.
        return read_day_text(text, past) if past == to_come else ""
    if words == LOTS:
        _typed_lots(held, text)
    allowed = {STEP: (*STEPS, *OUTCOMES), RELATIVE: (NO, YES), WHAT_AFTER: ("", *AFTER)}.get(words, ())
    if allowed and text.strip().casefold() not in allowed:
        raise ValueError(f"write one of: {', '.join(filter(None, allowed))}")
    return ""


def _day(held: HeldSeason, text: str, *, happened: bool) -> date:
    return typed_in_season(
        text,
        held.plan.season,
        today=held.plan.today,
        planned=held.plan.today,
        past=happened,
        order=held.order,
        counted=FROM_TODAY,
    )


def _typed_lots(held: HeldSeason, text: str) -> tuple[Lot, ...]:
    """The lots that are named. Raises ValueError."""
    names = text.replace(",", " ").split()
    if not names:
        raise ValueError("name the lots, such as A1, B2")
    try:
        return find_sampled_lots(held.plan.season, names)
    except Refusal as wrong:
        raise ValueError(str(wrong)) from wrong


def _record(lots: Sequence[Lot], held: HeldSeason, typed: Typed) -> Proposal:
    shown = {field.words for field in _fields(lots, held, typed)}
    typed = {words: text for words, text in typed.items() if words in shown}
    step = typed.get(STEP, next_step(held.plan.season, lots[0])).strip().casefold()
    meant = _typed_lots(held, typed[LOTS]) if LOTS in typed else lots
    text = typed.get(DATE, "").strip()
    happened = step in OUTCOMES or step == TAKEN
    if not text and not happened:
        raise FieldErrors([FieldError(DATE, "", f"for which day is it {step}?")])
    day = _day(held, text, happened=happened) if text else None
    total, uncertainty, after = (typed.get(name, "").strip() for name in (TOTAL, UNCERTAINTY, WHAT_AFTER))
    relative = typed.get(RELATIVE, NO).strip().casefold() == YES
    report = Report(step, total, uncertainty, relative, after)
    return recorded_step(held, meant, step, day, typed.get(WHO, "").strip(), report)
