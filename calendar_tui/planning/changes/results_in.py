"""Results that come in: one typed by hand, or all of a laboratory's file as one change."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from datetime import date
from decimal import Decimal
from typing import Any, NamedTuple

from calendar_tui.nature.measured import UNITS
from calendar_tui.planning.changes.held_season import HeldSeason
from calendar_tui.planning.changes.proposal import Proposal
from calendar_tui.planning.changes.record_change import add_record
from calendar_tui.planning.changes.record_proposal import checked_season, proposed
from calendar_tui.season.analyte_names import TOTAL_CBD, TOTAL_THC, WATER
from calendar_tui.season.edits import Edit
from calendar_tui.season.laboratory_columns import DAYS, LaboratoryColumns, columns_data
from calendar_tui.season.laboratory_rows import LaboratoryRow
from calendar_tui.season.measured_texts import BELOW, NOT_TESTED, is_below
from calendar_tui.season.naming import next_names
from calendar_tui.season.sample_ids import is_sound, plain_id
from calendar_tui.season.wording import year_day_text

KIND = "result"


def record_result(held: HeldSeason, bag: str, typed: Mapping[str, str]) -> Proposal:
    """The proposal that adds a result of a bag. typed: fields by their names; the report is of today where no date is typed."""
    name = _names(bag, tuple(held.plan.season.results), 1)[0]
    return add_record(held, KIND, name, {"date": year_day_text(held.plan.today), "sample": bag, **typed})


def _names(bag: str, taken: Collection[str], count: int) -> tuple[str, ...]:
    """ "26A1TA-1", "26A1TA-2"; "r1" for what no name can be made of."""
    stem = bag if is_sound(bag) else "r"
    return next_names(f"{stem}-0" if stem == bag else "r0", taken, count)


class FileResults(NamedTuple):
    """What a file brings. results: records as the file of the season has them; known: those that are in it already."""

    results: tuple[dict[str, Any], ...]
    known: tuple[dict[str, Any], ...]


def results_of_file(
    held: HeldSeason, laboratory: str, rows: Sequence[LaboratoryRow], columns: LaboratoryColumns
) -> FileResults:
    """The rows of a laboratory's file as results, one for each bag and report."""
    groups: dict[tuple[str, str], list[LaboratoryRow]] = {}
    for row in rows:
        groups.setdefault((plain_id(row.sample), row.report), []).append(row)
    taken = list(held.plan.season.results)
    fresh: list[dict[str, Any]] = []
    known: list[dict[str, Any]] = []
    for (bag, _), of_bag in groups.items():
        result = _result(bag, of_bag, laboratory, columns, held.plan.today)
        if _is_there(held, result):
            known.append(result)
            continue
        name = _names(bag, taken, 1)[0]
        taken.append(name)
        fresh.append({"id": name, **result})
    return FileResults(tuple(fresh), tuple(known))


def _result(
    bag: str, rows: Sequence[LaboratoryRow], laboratory: str, columns: LaboratoryColumns, today: date
) -> dict[str, Any]:
    """A result as a season file has it, in the unit of its first figure."""
    first = rows[0]
    sound = is_sound(bag)
    unit = next((row.unit for row in rows if row.unit and row.analyte not in (WATER,)), "%")
    values = {
        "date": first.tested or first.received or today,
        "sample": bag if sound else first.sample,
        "laboratory": laboratory,
        "report": first.report,
        "method": ", ".join(dict.fromkeys(row.method for row in rows if row.method)),
        **{day: next(filter(None, (getattr(row, day) for row in rows)), "") for day in DAYS},
        "found": {row.analyte: _text(row, unit) for row in rows if _is_found(row)},
        "lod": {
            row.analyte: _figure(row.lod, unit) for row in rows if _is_found(row) and row.lod is not None
        },
        "loq": {
            row.analyte: _figure(row.loq, unit) for row in rows if _is_found(row) and row.loq is not None
        },
        "unit": unit,
        "basis": columns.basis,
        **_of_sample(rows, columns, unit),
    }
    return {
        key: value for key, value in values.items() if value not in ("", {}) and (key, value) not in _DEFAULTS
    }


_DEFAULTS = (("unit", "%"), ("basis", "dry"))


def _is_found(row: LaboratoryRow) -> bool:
    return row.state != NOT_TESTED and row.analyte not in (TOTAL_THC, TOTAL_CBD, WATER)


def _text(row: LaboratoryRow, unit: str) -> str:
    """What is found as the file has it, a figure with a decimal point and in one unit: "0.30", "<0.05", "n.d."; "ND" of a dash."""
    assert row.percent is not None, row
    if row.state != BELOW:
        return _figure(row.percent.high, unit)
    written = row.text.strip()
    if _has_figure(row):
        return f"{written[0]}{_figure(row.percent.high, unit)}"
    return written if is_below(written) else "ND"


def _has_figure(row: LaboratoryRow) -> bool:
    return any(sign.isdigit() for sign in row.text)


def _figure(percent: Decimal, unit: str) -> str:
    return f"{percent / UNITS[unit]:f}"


def _of_sample(rows: Sequence[LaboratoryRow], columns: LaboratoryColumns, unit: str) -> Mapping[str, str]:
    """What is of the sample as a whole: the report's own total with its uncertainty, and its water."""
    by_analyte = {row.analyte: row for row in rows if row.percent is not None}
    values: dict[str, str] = {}
    if (total := by_analyte.get(TOTAL_THC)) is not None:
        values["total"] = _text(total, unit)
        if total.uncertainty is not None:
            values |= {
                "uncertainty": f"{total.uncertainty.amount:f}",
                "uncertainty_is": total.uncertainty.kind,
            }
    if (water := by_analyte.get(WATER)) is not None and water.percent is not None:
        values |= {"water": f"{water.percent.high:f}", "water_is": columns.water_is}
    return values


def left_out(rows: Iterable[LaboratoryRow]) -> Iterator[tuple[int, str]]:
    """The line and a sentence for what a file has of a result and a season keeps none of: how uncertain a part of a total is."""
    for row in rows:
        if row.uncertainty is not None and row.analyte != TOTAL_THC:
            yield row.line, f"the uncertainty of {row.analyte} is not kept, only that of {TOTAL_THC} is"


def _is_there(held: HeldSeason, result: Mapping[str, Any]) -> bool:
    keys = ("sample", "report", "found")
    return any(all(one.get(key) == result.get(key) for key in keys) for one in held.records(KIND))


def import_results(
    held: HeldSeason, laboratory: str, columns: LaboratoryColumns, results: Sequence[Mapping[str, Any]]
) -> Proposal:
    """The proposal that adds results and keeps how the laboratory writes its files, as one change. Raises FieldErrors."""
    edits = list(_kept_columns(held, laboratory, columns))
    edits += [Edit("add", KIND, (one["id"],), (), dict(one)) for one in results]
    idents = [(one["id"],) for one in results]
    season = checked_season(held, edits, {KIND: idents}, {})
    count = "1 result" if len(results) == 1 else f"{len(results)} results"
    return proposed(held, season, f"{count} of {laboratory} added", edits, KIND, idents)


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
