"""A laboratory's file taken in as one change: how it is written, what is taken, completed and kept aside, what is not read."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from decimal import Decimal
from functools import lru_cache
from typing import Any, NamedTuple

from calendar_tui.nature.measured import AS_RECEIVED
from calendar_tui.planning.changes.completing import KIND
from calendar_tui.planning.changes.file_results import FileResults, results_of_file
from calendar_tui.planning.changes.held_season import HeldSeason
from calendar_tui.planning.changes.proposal import Proposal
from calendar_tui.planning.changes.record_proposal import checked_season, proposed
from calendar_tui.planning.plan import Plan
from calendar_tui.planning.results.figures import factor_of
from calendar_tui.planning.results.told import aside_texts, displaced_texts, taken_texts
from calendar_tui.planning.results.used import rules_of
from calendar_tui.season.edits import Edit
from calendar_tui.season.field_names import field_words
from calendar_tui.season.laboratory_columns import (
    SAMPLE,
    LaboratoryColumns,
    columns_data,
    read_columns,
    role_typed,
)
from calendar_tui.season.laboratory_file import LaboratoryReading, read_laboratory_file
from calendar_tui.season.laboratory_proposal import Proposal as ColumnsProposal
from calendar_tui.season.laboratory_proposal import proposed_columns
from calendar_tui.season.laboratory_totals import other_totals
from calendar_tui.season.readers import Unreadable, shown
from calendar_tui.season.records import Season
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.sampling import Laboratory

# Each setting of a laboratory's file: the key of its record.
SETTINGS = ("unit", "decimal", "dash", "date_order", "uncertainty", "basis", "water_is", "separator")
_WORDS = {".": "point", ",": "comma"}
_SIGNS = {word: sign for sign, word in _WORDS.items()}


class Given(NamedTuple):
    """What a person sets of a file: settings by their keys, what columns hold by their headers, analytes by their names in it."""

    settings: Mapping[str, str] = {}
    columns: Mapping[str, str] = {}
    analytes: Mapping[str, str] = {}


class FileColumns(NamedTuple):
    """columns: as they are read; questions: what is still to be set, each with its key, its header, or "analyte NAME".

    headers: of all columns of the file, as far as they are known.
    """

    columns: LaboratoryColumns
    questions: tuple[tuple[str, str], ...]
    headers: tuple[str, ...]


def columns_of_file(season: Season, laboratory: str, text: str, given: Given) -> FileColumns:
    """How a file is written: as it is set and as the laboratory's record has it, else as it looks. Raises Refusal."""
    record = season.laboratories.get(laboratory, Laboratory(id=laboratory))
    analytes = dict(record.analytes) | dict(given.analytes)
    named = dict(record.columns) | {header: role_typed(word) for header, word in given.columns.items()}
    proposal = _proposed(text, laboratory, tuple(analytes.items()), tuple(named.items()))
    typed = {
        key: _SIGNS.get(value, value) if key == "decimal" else value for key, value in given.settings.items()
    }
    settings = {key: value for key in SETTINGS if (value := typed.get(key) or getattr(record, key))}
    if not typed.get("separator"):
        # What stands between the cells is seen in each file; one laboratory may write several kinds.
        settings["separator"] = proposal.columns.separator
    data: dict[str, Any] = {**columns_data(proposal.columns), **settings}
    data["columns"] = {**proposal.columns.columns, **named}
    try:
        columns = read_columns(data)
    except Unreadable as wrong:
        raise Refusal(str(wrong)) from wrong
    settled = {*settings, *named}
    if settings.get("basis", AS_RECEIVED) != AS_RECEIVED:
        settled.add("water_is")
    if SAMPLE in columns.columns.values():
        settled.add(SAMPLE)
    questions = tuple(one for one in proposal.questions if one[0] not in settled)
    return FileColumns(columns, questions, proposal.headers)


@lru_cache(maxsize=4)
def _proposed(
    text: str, laboratory: str, analytes: tuple[tuple[str, str], ...], named: tuple[tuple[str, str], ...]
) -> ColumnsProposal:
    """Worked out once for a file, and not for every letter that is typed in its form."""
    return proposed_columns(text, laboratory, dict(analytes), dict(named))


class TakenIn(NamedTuple):
    """proposal: None where the file brings nothing new. report: what is not taken and why, in sentences; failed: lines that do not read."""

    proposal: Proposal | None
    report: tuple[str, ...]
    failed: bool


def take_in(held: HeldSeason, laboratory: str, name: str, text: str, columns: LaboratoryColumns) -> TakenIn:
    """What a file comes to. name: of the file, before the numbers of its lines. Raises FieldErrors."""
    reading = read_laboratory_file(text, columns)
    brought = results_of_file(held, laboratory, reading, columns)
    report = list(_report(name, held.plan, reading))
    if not (brought.results or brought.more):
        return TakenIn(None, (*report, *_passed_over(brought)), bool(reading.problems))
    proposal = _import(held, laboratory, columns, brought)
    names, results = {str(one["id"]) for one in brought.results}, proposal.plan.results
    taken, aside = tuple(taken_texts(results, names)), tuple(aside_texts(results, names))
    notes = (
        *columns_texts(columns, laboratory, reading.headers),
        *(one.text for one in brought.more),
        *taken,
        *_passed_over(brought),
    )
    asked = tuple(displaced_texts(held.plan.results, results))
    told = replace(
        proposal,
        notes=(*notes, *proposal.notes),
        questions=(*asked, *proposal.questions),
        doubts=(*asked, *aside, *report, *proposal.doubts),
    )
    return TakenIn(told, (*report, *_passed_over(brought), *aside), bool(reading.problems))


def columns_texts(columns: LaboratoryColumns, laboratory: str, headers: Sequence[str]) -> Iterator[str]:
    """How a file is read, in two sentences: its columns, and how it is written. headers: of this file; the laboratory may have more."""
    own = {header: role for header, role in columns.columns.items() if header in headers}
    yield f"columns: {', '.join(f'{shown(header)} is {role}' for header, role in own.items())}"
    settings = ((key, str(getattr(columns, key))) for key in ("separator", "decimal", *SETTINGS[:-1]))
    words = {field_words("laboratory", key): _WORDS.get(value, value) for key, value in settings if value}
    analytes = [f"{shown(one)} is {what}" for one, what in columns.analytes.items()]
    yield "; ".join(
        (
            f"written with {', '.join(f'{key} {value}' for key, value in words.items())}",
            *analytes,
            f"kept for {laboratory}",
        )
    )


def _report(name: str, plan: Plan, reading: LaboratoryReading) -> Iterator[str]:
    """What is not taken as it stands, by line."""

    def factor(bag: str) -> Decimal:
        sample = plan.season.samples.get(bag)
        return factor_of(None if sample is None else rules_of(plan.season, sample, plan.today))

    yield from (f"{name}:{problem.line}: {problem.message}" for problem in reading.problems)
    yield from (f"{name}:{other.line}: {other.text}" for other in other_totals(reading.rows, factor))


def _passed_over(brought: FileResults) -> Iterator[str]:
    if brought.known:
        yield f"passed over, for they are in the season already: {len(brought.known)}"


def _import(held: HeldSeason, laboratory: str, columns: LaboratoryColumns, brought: FileResults) -> Proposal:
    """The proposal that adds and completes results, and keeps how the laboratory writes its files."""
    edits = list(_kept_columns(held, laboratory, columns))
    edits += [Edit("add", KIND, (one["id"],), (), dict(one)) for one in brought.results]
    edits += [edit for one in brought.more for edit in one.edits]
    idents = [(one["id"],) for one in brought.results] + [(one.name,) for one in brought.more]
    season = checked_season(held, edits, {KIND: idents}, {})
    return proposed(held, season, _what(laboratory, brought), edits, KIND, idents)


def _what(laboratory: str, brought: FileResults) -> str:
    parts = [_count(brought.results, "added")] if brought.results else []
    parts += [_count(brought.more, "completed")] if brought.more else []
    return f"{' and '.join(parts)}, of {laboratory}"


def _count(some: Sequence[object], what: str) -> str:
    return f"{len(some)} {'result' if len(some) == 1 else 'results'} {what}"


def _kept_columns(held: HeldSeason, laboratory: str, columns: LaboratoryColumns) -> Iterator[Edit]:
    """What is not set in the laboratory's record yet, or otherwise."""
    record = held.record("laboratory", (laboratory,))
    for key, value in columns_data(columns).items():
        if key == "laboratory":
            continue
        if isinstance(value, dict):
            there = record.get(key, {})
            yield from (
                Edit("set", "laboratory", (laboratory,), (key, name), word)
                for name, word in value.items()
                if there.get(name) != word
            )
        elif record.get(key) != value:
            yield Edit("set", "laboratory", (laboratory,), (key,), value)
