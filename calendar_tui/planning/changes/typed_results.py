"""A result as people type it: amounts of several analytes in one line, a limit for all of them, an uncertainty with its unit."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from decimal import Decimal

from calendar_tui.nature.analytes import ANALYTES
from calendar_tui.nature.legal_limits import RELATIVE, Uncertainty
from calendar_tui.nature.measured import UNITS
from calendar_tui.season.analyte_names import analyte_named
from calendar_tui.season.field_errors import FieldError, FieldErrors
from calendar_tui.season.measured_texts import POINT, read_uncertainty
from calendar_tui.season.readers import Unreadable, shown
from calendar_tui.season.typed_values import NONE

AMOUNT, LOD, LOQ = "amount", "LOD", "LOQ"
OTHERS, UNCERTAINTY, UNCERTAINTIES, WATER = "other amounts", "uncertainty", "uncertainties", "water"
# Typed in one line each, and kept by analyte.
IN_ONE_LINE: Mapping[str, str] = {OTHERS: AMOUNT, LOD: LOD, LOQ: LOQ, UNCERTAINTIES: UNCERTAINTY}
_PLAIN = re.compile(r"[\d.,]+", re.ASCII)
_AMOUNT_OF, _UNCERTAINTY_OF = f"{AMOUNT} of ", f"{UNCERTAINTY} of "
# A name of its own figure, which may be of several words: "d9-THC ±0.02", "THCA 10 % rel".
_NAME_AND_UNCERTAINTY = re.compile(r"(.*?)\s+((?:±|\+/?-)?\s*[\d.,]+(?:\s.*)?)", re.ASCII)


def result_fields(typed: Mapping[str, str]) -> dict[str, str]:
    """What is typed, by the names of the fields of a result. Raises FieldErrors."""
    given = {words: text.strip() for words, text in typed.items() if text.strip()}
    fields = {words: text for words, text in given.items() if words not in IN_ONE_LINE}
    for words in IN_ONE_LINE:
        if words in given:
            fields |= _by_analyte(words, given[words], [one for one in fields if one.startswith(_AMOUNT_OF)])
    if WATER in fields:
        fields[WATER] = fields[WATER].rstrip(" %")
    return fields | _uncertainty(fields) | _uncertainties(fields)


def _by_analyte(words: str, text: str, amounts: list[str]) -> dict[str, str]:
    """ "THC 0.02, THCA 0.05", or one figure for all that have an amount."""
    what = IN_ONE_LINE[words]
    if _PLAIN.fullmatch(text) and words in (LOD, LOQ):
        return {f"{what} of {one.removeprefix(_AMOUNT_OF)}": text for one in amounts}
    fields = {}
    for name, figure in _pairs(words, text):
        analyte = analyte_named(name)
        if analyte not in ANALYTES:
            known = ", ".join(ANALYTES)
            raise FieldErrors(
                [FieldError(words, text, f"has {shown(name)}, which is no analyte; known: {known}")]
            )
        fields[f"{what} of {analyte}"] = figure
    return fields


def _pairs(words: str, text: str) -> Iterator[tuple[str, str]]:
    for part in filter(None, map(str.strip, re.split(r"[,;]\s+|;", text))):
        one = part.replace("=", " ")
        name, _, figure = one.rpartition(" ")
        if words == UNCERTAINTIES and (parts := _NAME_AND_UNCERTAINTY.fullmatch(one)):
            name, figure = parts.groups()
        if not name.strip():
            right = "write each analyte with its figure, such as THC 0.02, THCA 0.05"
            raise FieldErrors([FieldError(words, text, f"has {shown(part)} alone; {right}")])
        yield name.strip(), figure


def _uncertainty(fields: Mapping[str, str]) -> dict[str, str]:
    """An uncertainty with its unit, such as "10 % rel", as figure and kind; a bare figure stays as it is."""
    text = fields.get(UNCERTAINTY, "")
    if not text or _PLAIN.fullmatch(text):
        return {}
    found = _read_uncertainty(UNCERTAINTY, text, fields.get("unit", "%"))
    return {UNCERTAINTY: f"{found.amount:f}", "uncertainty is": found.kind}


def _uncertainties(fields: Mapping[str, str]) -> dict[str, str]:
    """The uncertainty of each analyte as it is kept, in the unit of the result."""
    unit = fields.get("unit", "%")
    of_analytes = {words: text for words, text in fields.items() if words.startswith(_UNCERTAINTY_OF)}
    return {
        words: uncertainty_text(_read_uncertainty(words, text, unit), unit)
        for words, text in of_analytes.items()
        if text != NONE
    }


def _read_uncertainty(words: str, text: str, unit: str) -> Uncertainty:
    try:
        return read_uncertainty(text, unit, POINT)
    except Unreadable as wrong:
        raise FieldErrors([FieldError(words, text, str(wrong))]) from wrong


def uncertainty_text(found: Uncertainty, unit: str) -> str:
    """ "0.03 abs" in a unit of results, or "10 % rel", as a season keeps it."""
    if found.kind == RELATIVE:
        return f"{found.amount:f} % rel"
    return f"{found.amount / UNITS.get(unit, Decimal(1)):f} abs"
