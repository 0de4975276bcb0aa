"""The forms in which a pass is recorded, and a batch read or taken out."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial

from calendar_tui.handing_on.words.cautions import cautions
from calendar_tui.planning.changes.batches import batch_id, read_batch, set_batch
from calendar_tui.planning.changes.held_season import HeldSeason
from calendar_tui.planning.changes.passes import record_pass, typed_weights
from calendar_tui.planning.changes.proposal import Proposal
from calendar_tui.screens.forms.blank import Blank, FormField, Typed
from calendar_tui.screens.forms.record_fields import field_of, form_fields, in_order, understood
from calendar_tui.season.field_errors import FieldError, FieldErrors
from calendar_tui.season.finders import find_lot
from calendar_tui.season.lots import is_cut, lots_of, lots_of_cohort
from calendar_tui.season.measures import unit_shown

LOT, WEIGHTS, BATCH, OUT = "lot", "fresh weight", "batch", "out"
# What is asked first of a pass; the rest follows as the file has it.
_FIRST = ("why", BATCH, LOT, "last", "part", "date")
_NOT_TYPED = {"pass": (LOT, "fresh weight of"), "reading": (BATCH,), "batch": ()}


def recording_pass(cohort: str) -> Blank:
    """A form for a pass of the first lot of this cohort, or of the lot that is typed."""
    return Blank(
        "Record a pass",
        "the last one records the harvest",
        partial(_pass_fields, cohort),
        _read_pass,
        partial(_record, cohort),
        caution=cautions("before a cut", "unmixed", "heat", "heat index"),
    )


def _pass_fields(cohort: str, held: HeldSeason, typed: Typed) -> Sequence[FormField]:
    season = held.plan.season
    names = tuple(lot.id for lot in lots_of(season))
    rest = [f for f in form_fields("pass", held, {}) if not f.words.startswith(_NOT_TYPED["pass"])]
    lot = FormField(LOT, _own_lot(cohort, held), "", "which lot, or which cohort that is one", names)
    return [
        FormField(
            WEIGHTS, "", unit_shown("kg"), "what was weighed fresh, by part, such as: top 12.5, middle 4"
        ),
        *in_order([*rest, lot], _FIRST),
    ]


def _own_lot(cohort: str, held: HeldSeason) -> str:
    """The first lot of the cohort that has something left to cut; of no cohort, or one that is cut through, of all."""
    season, today = held.plan.season, held.plan.today
    own = lots_of_cohort(season, cohort) if cohort in season.cohorts else ()
    flowering = [lot for lot in lots_of(season) if _in_flower(held, lot.cohort)]
    left = [lot.id for lot in (*own, *flowering) if not is_cut(season, lot, today)]
    return next(iter(left), "")


def _in_flower(held: HeldSeason, cohort: str) -> bool:
    flowering = held.plan.timelines[cohort].likely("flowering")
    return flowering is not None and flowering <= held.plan.today


def _read_pass(held: HeldSeason, words: str, text: str) -> str:
    if words == WEIGHTS:
        weights = typed_weights(text).items()
        texts = [understood(held, field_of("pass", field), weight, {}) for field, weight in weights]
        return "; ".join(filter(None, texts))
    if words == LOT:
        lot = find_lot(held.plan.season, text)
        return "" if lot == text else lot
    if words == BATCH and text.strip() and batch_id(held.plan.season, text.strip()) is None:
        return "begins with it"
    return understood(held, field_of("pass", words), text, {})


def _record(cohort: str, held: HeldSeason, typed: Typed) -> Proposal:
    lot = typed.get(LOT, _own_lot(cohort, held)).strip()
    if not lot:
        raise FieldErrors([FieldError(LOT, "", "it is needed: which lot was cut")])
    given = {words: text for words, text in typed.items() if words not in (LOT, WEIGHTS) and text.strip()}
    return record_pass(held, find_lot(held.plan.season, lot), typed_weights(typed.get(WEIGHTS, "")) | given)


def reading_batch(name: str) -> Blank:
    """A form for a reading of a batch."""
    return _of_kind("reading", f"Read batch {name}", ("moisture", "air temperature"), partial(_read_in, name))


def taking_out(name: str) -> Blank:
    """A form for what came out of a batch; without a day it is today."""
    first = ("dry weight", "moisture", "retained", OUT)
    return _of_kind("batch", f"Batch {name} is out", first, partial(_take_out, name))


def _of_kind(
    kind: str, title: str, first: Sequence[str], propose: Callable[[HeldSeason, Typed], Proposal]
) -> Blank:
    def fields(held: HeldSeason, typed: Typed) -> Sequence[FormField]:
        shown = [f for f in form_fields(kind, held, {}) if f.words not in _NOT_TYPED[kind]]
        return in_order(shown, first)

    def read(held: HeldSeason, words: str, text: str) -> str:
        return understood(held, field_of(kind, words), text, {})

    return Blank(title, "", fields, read, propose, caution=cautions("dryer", "mould", "unmixed"))


def _read_in(name: str, held: HeldSeason, typed: Typed) -> Proposal:
    return read_batch(held, name, {words: text for words, text in typed.items() if text.strip()})


def _take_out(name: str, held: HeldSeason, typed: Typed) -> Proposal:
    given = {words: text for words, text in typed.items() if text.strip()}
    return set_batch(held, name, {OUT: held.plan.today.isoformat(), **given})
