"""One line of a laboratory's file as rows or problems. What may be read in two ways is refused."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from typing import Any, NamedTuple, TypeVar

from calendar_tui.nature.legal_limits import Uncertainty
from calendar_tui.nature.measured import Interval
from calendar_tui.season.analyte_names import WATER, unit_named, without_unit
from calendar_tui.season.laboratory_columns import (
    ANALYTE,
    DAYS,
    IGNORED,
    LIMITS,
    LOD,
    LOQ,
    METHOD,
    REPORT,
    RESULT,
    SAMPLE,
    UNCERTAINTY,
    UNIT,
    LaboratoryColumns,
    role_parts,
)
from calendar_tui.season.measured_texts import (
    BELOW,
    NOT_TESTED,
    Limits,
    Measured,
    NoLimit,
    amount_in_percent,
    read_file_date,
    read_measured,
    read_uncertainty,
)
from calendar_tui.season.readers import Unreadable, shown
from calendar_tui.season.table_lines import SEPARATORS, line_cells

_Value = TypeVar("_Value")


class LineProblem(NamedTuple):
    """What is wrong on a line, and what would be right; last: the last line that it holds for; sample: as the file has it."""

    line: int
    message: str
    last: int
    sample: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class LaboratoryRow:
    """One result. sample, text, unit, method, report: as they stand in the file; percent: %, None where
    nothing was tested, or where it is below a limit that the file does not give.

    lod, loq: %. also: the same result in further columns, such as in another unit.
    """

    line: int
    sample: str
    analyte: str
    text: str
    state: str
    percent: Interval | None
    unit: str
    lod: Decimal | None = None
    loq: Decimal | None = None
    uncertainty: Uncertainty | None = None
    method: str = ""
    collected: date | None = None
    received: date | None = None
    tested: date | None = None
    reported: date | None = None
    report: str = ""
    also: tuple[str, ...] = ()


class _Cell(NamedTuple):
    header: str
    role: str
    unit: str
    text: str


def read_line(
    n: int, text: str, headers: Sequence[str], columns: LaboratoryColumns
) -> Iterator[LaboratoryRow | LineProblem]:
    """The rows and problems of a line: at least one, but none of a line whose analyte is set to be ignored."""
    try:
        cells = line_cells(text, SEPARATORS[columns.separator])
        _refuse_shifted(cells, headers, columns)
        by_header = [
            _Cell(header, columns.columns.get(header, ""), without_unit(header)[1], cell)
            for header, cell in zip(headers, cells, strict=True)
        ]
        line = _line_values(n, by_header, columns)
        every = _long_groups(by_header, columns) if columns.is_long else _wide_groups(by_header)
    except Unreadable as wrong:
        yield LineProblem(n, str(wrong), n)
        return
    for analyte, group in every.items():
        if analyte == IGNORED:
            continue
        try:
            yield _row(line, analyte, group, columns)
        except Unreadable as wrong:
            yield LineProblem(n, f"{analyte} of {shown(line.sample)} {wrong}", n, line.sample)


def _refuse_shifted(cells: Sequence[str], headers: Sequence[str], columns: LaboratoryColumns) -> None:
    # Not even blank cells may be over: with a decimal comma "0,31" in a blank column's line they are what moved on.
    if len(cells) != len(headers):
        comma = "; a decimal comma may part a figure" if columns.separator == "comma" else ""
        raise Unreadable(
            f"the line has {len(cells)} cells and the header {len(headers)}{comma}; give it as many"
        )


def _line_values(n: int, cells: Sequence[_Cell], columns: LaboratoryColumns) -> LaboratoryRow:
    """What all results of a line have in common, as a row without a result."""
    by_role = {cell.role: cell for cell in cells}
    sample = by_role[SAMPLE].text
    if not sample:
        raise Unreadable("the line has no sample; write the id of its bag")
    values: dict[str, Any] = {}
    for role in DAYS:
        if role in by_role and by_role[role].text:
            with_name = f"{role} of {shown(sample)}"
            values[role] = _named(with_name, read_file_date, by_role[role].text, columns.date_order)
    values |= {role: by_role[role].text for role in (METHOD, REPORT) if role in by_role}
    return LaboratoryRow(
        line=n, sample=sample, analyte="", text="", state=NOT_TESTED, percent=None, unit="", **values
    )


_Group = Mapping[str, Sequence[_Cell]]


def _long_groups(cells: Sequence[_Cell], columns: LaboratoryColumns) -> dict[str, _Group]:
    """The cells of the one result of a line, by what they are."""
    name = next(cell.text for cell in cells if cell.role == ANALYTE)
    analyte = columns.analyte(name)
    if not analyte:
        raise Unreadable(
            f"the analyte is {shown(name)}, which is not known; set in the columns what it is, such as THCA"
        )
    return {analyte: {role: [c for c in cells if c.role == role] for role in (RESULT, UNIT, *LIMITS)}}


def _wide_groups(cells: Sequence[_Cell]) -> dict[str, _Group]:
    """The cells of each result of a line, by what they are."""
    groups: dict[str, dict[str, list[_Cell]]] = {}
    for cell in cells:
        analyte, what = role_parts(cell.role)
        if analyte:
            groups.setdefault(analyte, {}).setdefault(what, []).append(cell)
    return {analyte: group for analyte, group in groups.items() if RESULT in group}


def _row(line: LaboratoryRow, analyte: str, group: _Group, columns: LaboratoryColumns) -> LaboratoryRow:
    unit_cells = [cell for cell in group.get(UNIT, ()) if cell.text]
    if unit_cells and not unit_named(unit_cells[0].text):
        raise Unreadable(
            f"has the unit {shown(unit_cells[0].text)}, which is not known; write %, mg/g, g/kg or ppm"
        )
    in_column = unit_named(unit_cells[0].text) if unit_cells else ""
    first, *others = group[RESULT]
    unit = first.unit or in_column or columns.unit
    limits = Limits(*(_limit(group, what, unit, columns) for what in (LOD, LOQ)))
    read = read_measured if analyte == WATER else _read_as_text
    measured = read(first.text, unit, columns.decimal, limits, columns.dash)
    also = []
    for cell in others:
        again = read(cell.text, cell.unit or unit, columns.decimal, limits, columns.dash)
        measured = _agreeing(measured, again)
        also.append(f"{cell.text} {cell.unit}".strip())
    return replace(
        line,
        analyte=analyte,
        text=measured.text,
        state=measured.state,
        percent=measured.percent,
        unit=unit,
        lod=limits.lod,
        loq=limits.loq,
        uncertainty=_uncertainty(group, unit, columns),
        also=tuple(also),
    )


def _read_as_text(text: str, unit: str, mark: str, limits: Limits, dash: str) -> Measured:
    """A result; without figures where it is below a limit that the file does not give."""
    try:
        return read_measured(text, unit, mark, limits, dash)
    except NoLimit:
        return Measured(text, BELOW, None)


def _limit(group: _Group, what: str, unit: str, columns: LaboratoryColumns) -> Decimal | None:
    cells = [cell for cell in group.get(what, ()) if cell.text.strip("-–— ")]
    if not cells:
        return None
    text, own = cells[0].text, cells[0].unit
    return Decimal(
        _named(f"whose {what}", amount_in_percent, text.lstrip("<≤ "), own or unit, columns.decimal)
    )


def _uncertainty(group: _Group, unit: str, columns: LaboratoryColumns) -> Uncertainty | None:
    cells = [cell for cell in group.get(UNCERTAINTY, ()) if cell.text.strip("-–— ")]
    if not cells:
        return None
    return _named(
        "whose uncertainty",
        read_uncertainty,
        cells[0].text,
        cells[0].unit or unit,
        columns.decimal,
        columns.uncertainty,
    )


def _named(name: str, read: Callable[..., _Value], *arguments: str) -> _Value:
    """What `read` gives; what it refuses, told with the name of what it is."""
    try:
        return read(*arguments)
    except Unreadable as wrong:
        raise Unreadable(f"{name} {wrong}") from None


def _agreeing(one: Measured, again: Measured) -> Measured:
    """The first of two readings of one result, or the second where the first was not tested. Raises Unreadable where they differ."""
    if again.percent is None or one.percent is None:
        return one if again.percent is None else again
    if one.state != again.state or abs(one.percent.high - again.percent.high) > _rounding(one, again):
        raise Unreadable(
            f"is {one.percent.text} in one column and {again.percent.text} in another; look which of them is right"
        )
    return one


def _rounding(*readings: Measured) -> Decimal:
    """How far two readings of one result may lie apart, %: half of the last place of each."""
    half = Decimal("0.5")
    ends = (one.percent.high for one in readings if one.percent is not None)
    return sum((half.scaleb(int(end.as_tuple().exponent)) for end in ends), Decimal(0))
