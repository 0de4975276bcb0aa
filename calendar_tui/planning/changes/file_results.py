"""The rows of a laboratory's file as results, one for each bag and report: new ones, more of those that are in, known ones."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from decimal import Decimal
from typing import Any, NamedTuple

from calendar_tui.nature.measured import UNITS
from calendar_tui.planning.changes.completing import KIND, Completion, completion_of
from calendar_tui.planning.changes.held_season import HeldSeason
from calendar_tui.planning.changes.results_in import result_name
from calendar_tui.planning.changes.typed_results import uncertainty_text
from calendar_tui.season.analyte_names import TOTAL_CBD, TOTAL_THC, WATER
from calendar_tui.season.laboratory_columns import DAYS, REPORTED, LaboratoryColumns
from calendar_tui.season.laboratory_file import LaboratoryReading
from calendar_tui.season.laboratory_rows import LaboratoryRow
from calendar_tui.season.measured_texts import BELOW, NOT_TESTED, is_below
from calendar_tui.season.sample_ids import is_sound, plain_id


class FileResults(NamedTuple):
    """What a file brings. results: records as the file of the season has them; known: those that are in it already.

    more: what only adds to a result that is in it.
    """

    results: tuple[dict[str, Any], ...]
    known: tuple[dict[str, Any], ...]
    more: tuple[Completion, ...]


def results_of_file(
    held: HeldSeason, laboratory: str, reading: LaboratoryReading, columns: LaboratoryColumns
) -> FileResults:
    """The rows of a laboratory's file as results, one for each bag and report, with what did not read of it in its note."""
    groups: dict[tuple[str, str], list[LaboratoryRow]] = {}
    for row in reading.rows:
        groups.setdefault((plain_id(row.sample), row.report), []).append(row)
    taken = list(held.plan.season.results)
    fresh: list[dict[str, Any]] = []
    known: list[dict[str, Any]] = []
    completed: dict[str, Completion] = {}
    for (bag, _), of_bag in groups.items():
        result = _result(bag, of_bag, laboratory, columns, held.plan.today)
        result |= {"note": note} if (note := _not_read(bag, reading)) else {}
        dated = bool(of_bag[0].reported or of_bag[0].tested or of_bag[0].received)
        more = completion_of(held.records(KIND), result, dated=dated)
        if more is not None and more.name not in completed:
            completed[more.name] = more
        elif _is_there(held, result):
            known.append(result)
        else:
            name = result_name(bag, taken)
            taken.append(name)
            fresh.append({"id": name, **result})
    return FileResults(tuple(fresh), tuple(known), tuple(completed.values()))


def _not_read(bag: str, reading: LaboratoryReading) -> str:
    """What stands in the file of this bag and could not be read; "" where all could."""
    texts = [
        problem.message for problem in reading.problems if problem.sample and plain_id(problem.sample) == bag
    ]
    return f"not read: {'; '.join(texts)}" if texts else ""


def _result(
    bag: str, rows: Sequence[LaboratoryRow], laboratory: str, columns: LaboratoryColumns, today: date
) -> dict[str, Any]:
    """A result as a season file has it, in the unit of its first figure."""
    first = rows[0]
    sound = is_sound(bag)
    unit = next((row.unit for row in rows if row.unit and row.analyte not in (WATER,)), "%")
    values = {
        "date": first.reported or first.tested or first.received or today,
        "sample": bag if sound else first.sample,
        "laboratory": laboratory,
        "report": first.report,
        "method": ", ".join(dict.fromkeys(row.method for row in rows if row.method)),
        **{
            day: next(filter(None, (getattr(row, day) for row in rows)), "")
            for day in DAYS
            if day != REPORTED
        },
        "found": {row.analyte: _text(row, unit) for row in rows if _is_found(row)},
        "lod": {
            row.analyte: _figure(row.lod, unit) for row in rows if _is_found(row) and row.lod is not None
        },
        "loq": {
            row.analyte: _figure(row.loq, unit) for row in rows if _is_found(row) and row.loq is not None
        },
        "uncertainties": {
            row.analyte: uncertainty_text(row.uncertainty, unit)
            for row in rows
            if _is_found(row) and row.uncertainty is not None
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
    written = row.text.strip()
    if row.percent is None:
        return written if is_below(written) else "ND"
    if row.state != BELOW:
        return _figure(row.percent.high, unit)
    if _has_figure(row):
        return f"{written[0]}{_figure(row.percent.high, unit)}"
    return written if is_below(written) else "ND"


def _has_figure(row: LaboratoryRow) -> bool:
    return any(sign.isdigit() for sign in row.text)


def _figure(percent: Decimal, unit: str) -> str:
    return f"{percent / UNITS[unit]:f}"


def _of_sample(rows: Sequence[LaboratoryRow], columns: LaboratoryColumns, unit: str) -> Mapping[str, str]:
    """What is of the sample as a whole: the report's own total with its uncertainty, and its water."""
    by_analyte = {row.analyte: row for row in rows if row.state != NOT_TESTED}
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


def _is_there(held: HeldSeason, result: Mapping[str, Any]) -> bool:
    keys = ("sample", "report", "found")
    return any(all(one.get(key) == result.get(key) for key in keys) for one in held.records(KIND))
