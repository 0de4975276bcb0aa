"""The form in which a result is typed as it stands in the report: of the bag it was opened for, or of one that is typed."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from functools import partial

from calendar_tui.handing_on.words.cautions import cautions
from calendar_tui.planning.changes.held_season import HeldSeason
from calendar_tui.planning.changes.proposal import Proposal
from calendar_tui.planning.changes.results_in import read_bag, record_result
from calendar_tui.planning.changes.typed_results import LOD, LOQ, OTHERS, UNCERTAINTIES, result_fields
from calendar_tui.planning.results.due import due_results
from calendar_tui.screens.forms.blank import Blank, FormField, Typed
from calendar_tui.screens.forms.record_fields import field_of, form_fields, in_order, understood
from calendar_tui.season.field_errors import FieldError, FieldErrors
from calendar_tui.season.sample_ids import grouped

KIND = "result"
BAG = "sample"
_AMOUNTS = tuple(f"amount of {analyte}" for analyte in ("THC", "THCA", "CBD", "CBDA"))
_IN_ONE_LINE = (
    FormField(OTHERS, "", "", "of other analytes, such as CBG 0.10, CBN <0.02"),
    FormField(LOD, "", "", "limit of detection: one for all, or such as THC 0.005, THCA 0.01"),
    FormField(LOQ, "", "", "limit of quantification: one for all, or such as THC 0.02, THCA 0.02"),
    FormField(UNCERTAINTIES, "", "", "of analytes, such as THC 0.02 abs, THCA 10 % rel"),
)
# What is asked first; the rest follows as the file has it.
_FIRST = (BAG, *_AMOUNTS, OTHERS, "unit", "basis", "date", "report", "laboratory", LOD, LOQ, UNCERTAINTIES)
_BY_ANALYTE = ("amount of ", "LOD of ", "LOQ of ", "limit of ", "uncertainty of ")


def recording_result(bag: str = "") -> Blank:
    """A form for a result of this bag, "" for one that is typed."""
    return Blank(
        "A result of a bag",
        "each figure as it stands in the report",
        partial(_fields, bag),
        _read,
        partial(_propose, bag),
        caution=cautions("own tests", "agent", "own results", "over", "disposal", "verdicts"),
    )


def _given(bag: str, held: HeldSeason) -> Mapping[str, date | str]:
    """What is filled in."""
    sample = held.plan.season.samples.get(bag)
    known = {} if sample is None else {BAG: grouped(bag), "laboratory": sample.laboratory}
    return {"date": held.plan.today, **known}


def _fields(bag: str, held: HeldSeason, typed: Typed) -> Sequence[FormField]:
    return in_order(_every(bag, held), _FIRST)


def _every(bag: str, held: HeldSeason) -> Iterator[FormField]:
    out = tuple(grouped(one.sample.id) for one in due_results(held.plan.season))
    for field in form_fields(KIND, held, _given(bag, held)):
        if field.words == BAG:
            yield field._replace(names=out)
        elif field.words in _AMOUNTS or not field.words.startswith(_BY_ANALYTE):
            yield field
    yield from _IN_ONE_LINE


def _read(held: HeldSeason, words: str, text: str) -> str:
    if words == BAG:
        bag = grouped(read_bag(held.plan.season, text))
        return "" if bag == text.strip() else bag
    fields = result_fields({words: text})
    notes = {name: understood(held, field_of(KIND, name), value, {}) for name, value in fields.items()}
    return notes.get(words, "")


def _propose(bag: str, held: HeldSeason, typed: Typed) -> Proposal:
    known = {words: str(value) for words, value in _given(bag, held).items()} | dict(typed)
    name = known.pop(BAG, "")
    if not name.strip():
        raise FieldErrors([FieldError(BAG, "", "it is needed: the id on the bag")])
    if not any(
        words.startswith(_BY_ANALYTE) or words == OTHERS for words, text in typed.items() if text.strip()
    ):
        raise FieldErrors(
            [FieldError(_AMOUNTS[0], "", "type what was found of an analyte, such as 0.05 or <0.02")]
        )
    return record_result(held, read_bag(held.plan.season, name), known)
