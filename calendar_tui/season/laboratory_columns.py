"""What the columns of a laboratory's file are: set once, kept by laboratory as plain data, and proposed from the headers.

A column's role is a word of the line, such as "sample" or "LOQ"; or, in a file with a column an analyte, what was measured
("THCA"), or a limit or the uncertainty of it ("THCA LOQ").
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, fields
from typing import Any

from calendar_tui.nature.legal_limits import UNCERTAINTY_KINDS
from calendar_tui.nature.measured import BASES, UNITS, WATER_BASES
from calendar_tui.season.analyte_names import MEASURED, TOTAL_THC, analyte_named, folded, without_unit
from calendar_tui.season.measured_texts import DASHES, DECIMAL_MARKS
from calendar_tui.season.readers import Unreadable, choices, one_of, shown, text
from calendar_tui.season.table_lines import SEPARATORS
from calendar_tui.season.typed_dates import ORDERS

SAMPLE, ANALYTE, RESULT, UNIT = "sample", "analyte", "result", "unit"
LOD, LOQ, UNCERTAINTY = LIMITS = ("LOD", "LOQ", "uncertainty")
METHOD, REPORT = "method", "report"
COLLECTED, RECEIVED, TESTED, REPORTED = DAYS = ("collected", "received", "tested", "reported")
IGNORED = "ignored"
# Roles of one column of a file at most, those of the line as a whole first.
LINE_ROLES = (SAMPLE, REPORT, METHOD, *DAYS)
ROLES = (*LINE_ROLES, ANALYTE, RESULT, UNIT, *LIMITS)

_SPELT: Mapping[str, tuple[str, ...]] = {
    SAMPLE: (
        "sampleid",
        "samplename",
        "sampleno",
        "samplenumber",
        "clientsampleid",
        "clientid",
        "bag",
        "bagid",
    ),
    ANALYTE: ("compound", "cannabinoid", "parameter", "component", "substance"),
    RESULT: ("value", "amount", "concentration", "conc", "found"),
    UNIT: ("units",),
    LOD: ("limitofdetection", "detectionlimit"),
    LOQ: ("limitofquantification", "limitofquantitation", "quantificationlimit", "rl", "reportinglimit"),
    UNCERTAINTY: ("mu", "u", "uncert", "measurementuncertainty", "expandeduncertainty", "uncertaintyk2"),
    METHOD: ("testmethod", "analysismethod", "technique"),
    REPORT: ("reportno", "reportnumber", "reportid", "coa", "coano", "certificate", "certificateno"),
    COLLECTED: ("datecollected", "collectiondate", "datesampled", "sampledate", "samplingdate", "sampled"),
    RECEIVED: ("datereceived", "receiveddate", "receiptdate"),
    REPORTED: ("datereported", "reportdate", "dateofreport", "dateissued", "issued", "issuedate"),
    TESTED: (
        "datetested",
        "testdate",
        "analysisdate",
        "dateanalysed",
        "dateanalyzed",
        "analysed",
        "analyzed",
        "date",
    ),
}
_ROLE_OF = {folded(role): role for role in ROLES} | {
    spelt: role for role, every in _SPELT.items() for spelt in every
}


@dataclass(frozen=True, slots=True, kw_only=True)
class LaboratoryColumns:
    """columns: each header as the file has it, with its role. analytes: what this laboratory calls by names of its own.

    separator: a word of SEPARATORS; decimal: "." or ","; date_order: which of two numbers is the day; unit: of results
    where neither header nor cell has one; uncertainty: ABSOLUTE or RELATIVE; dash: what "-" stands for; basis: of what the
    results are a share; water_is: of what the water is one. "" for what is not set: what then may be read in two ways is refused.
    """

    laboratory: str = ""
    columns: Mapping[str, str] = field(default_factory=dict)
    analytes: Mapping[str, str] = field(default_factory=dict)
    separator: str = "comma"
    decimal: str = ""
    date_order: str = ""
    unit: str = ""
    uncertainty: str = ""
    dash: str = ""
    basis: str = ""
    water_is: str = ""

    @property
    def is_long(self) -> bool:
        """Whether the file has a line an analyte, and not a column."""
        return ANALYTE in self.columns.values()

    def analyte(self, name: str) -> str:
        """The id of what is called so; IGNORED for what is set to be left out, "" for what is not known."""
        return self.analytes.get(name.strip()) or analyte_named(name)


def role_of(header: str) -> str:
    """The role that a header is likely to have; "" for none."""
    name, _ = without_unit(header)
    if role := _ROLE_OF.get(folded(name)):
        return role
    if analyte := analyte_named(name):
        return analyte
    first, _, last = name.strip().rpartition(" ")
    return _of_analyte(first, last) or _of_analyte(*reversed(name.strip().partition(" ")[::2]))


def _of_analyte(name: str, word: str) -> str:
    """ "THCA LOQ" of "THCa", "loq"; "" where it is none."""
    analyte, role = analyte_named(name), _ROLE_OF.get(folded(word), "")
    return f"{analyte} {role}" if analyte and role in LIMITS else ""


def role_typed(word: str) -> str:
    """The role that is meant by a word for it, such as "amount"; the word as it is where it is none."""
    return word if is_role(word) else role_of(word) or word


def role_parts(role: str) -> tuple[str, str]:
    """The analyte of a role and what of it: "THCA LOQ" gives "THCA", "LOQ"; "THCA" gives "THCA", "result"; "", role for others."""
    if role in MEASURED:
        return role, RESULT
    analyte, _, what = role.rpartition(" ")
    return (analyte, what) if analyte in MEASURED and what in LIMITS else ("", role)


def is_role(role: str) -> bool:
    return role in (*ROLES, IGNORED) or bool(role_parts(role)[0])


def misplaced(role: str, columns: LaboratoryColumns) -> str:
    """Why nothing is read from a column of this role among the others, and what would be right; "" where it is read."""
    analyte, what = role_parts(role)
    if columns.is_long and analyte:
        return f'but the file has a line an analyte; set it as "{what}" or "{IGNORED}"'
    if not columns.is_long and not analyte and what in (RESULT, UNIT, *LIMITS):
        total = TOTAL_THC in columns.columns.values() and what == UNCERTAINTY
        example = f"{TOTAL_THC if total else 'THC'} {what}"
        return f'but the file has a column an analyte; set of which, such as "{example}", or "{IGNORED}"'
    if analyte and analyte not in columns.columns.values():
        return f'but no column is set as "{analyte}"; set that too, or "{IGNORED}"'
    return ""


# --- as plain data, to be kept


def columns_data(columns: LaboratoryColumns) -> dict[str, Any]:
    """As plain text and tables of text; what is not set is left out. Read back by `read_columns`."""
    values = {f.name: getattr(columns, f.name) for f in fields(columns)}
    return {
        key: dict(value) if isinstance(value, Mapping) else value for key, value in values.items() if value
    }


def _decimal_mark(value: Any) -> str:
    if value not in DECIMAL_MARKS:
        raise Unreadable(f"is {shown(value)}; it must be a point or a comma")
    return str(value)


def _table_of(what: str, known: Iterable[str], is_known: Any) -> Any:
    known = tuple(known)

    def read(value: Any) -> dict[str, str]:
        if not isinstance(value, dict):
            raise Unreadable(f'is {shown(value)}; write a table, such as {{ "Sample ID" = "{SAMPLE}" }}')
        for name, word in value.items():
            if not (isinstance(word, str) and is_known(word)):
                raise Unreadable(
                    f"has {shown(word)} for {shown(name)}, which is no {what}{choices(word, known)}"
                )
        return dict(value)

    return read


_READERS: Mapping[str, Any] = {
    "laboratory": text,
    "columns": _table_of("role", (*ROLES, IGNORED, *MEASURED), is_role),
    "analytes": _table_of("analyte", (*MEASURED, IGNORED), (*MEASURED, IGNORED).__contains__),
    "separator": one_of(*SEPARATORS),
    "decimal": _decimal_mark,
    "date_order": one_of(*ORDERS),
    "unit": one_of(*UNITS),
    "uncertainty": one_of(*UNCERTAINTY_KINDS),
    "dash": one_of(*DASHES),
    "basis": one_of(*BASES),
    "water_is": one_of(*WATER_BASES),
}


def read_columns(data: Mapping[str, Any]) -> LaboratoryColumns:
    """What was kept. Raises Unreadable, with its key, for what does not read."""
    values: dict[str, Any] = {}
    for key, value in data.items():
        if key not in _READERS:
            raise Unreadable(f"{key} is not known{choices(key, _READERS)}")
        try:
            values[key] = _READERS[key](value)
        except Unreadable as wrong:
            raise Unreadable(f"{key} {wrong}") from None
    return LaboratoryColumns(**values)
