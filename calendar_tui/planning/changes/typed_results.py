"""A result as people type it: amounts of several analytes in one line, a limit for all of them, an uncertainty with its unit."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping

from calendar_tui.nature.analytes import ANALYTES
from calendar_tui.season.analyte_names import analyte_named
from calendar_tui.season.field_errors import FieldError, FieldErrors
from calendar_tui.season.measured_texts import POINT, read_uncertainty
from calendar_tui.season.readers import Unreadable, shown

AMOUNT, LOD, LOQ = "amount", "LOD", "LOQ"
OTHERS, UNCERTAINTY, WATER = "other amounts", "uncertainty", "water"
# Typed in one line each, and kept by analyte.
IN_ONE_LINE: Mapping[str, str] = {OTHERS: AMOUNT, LOD: LOD, LOQ: LOQ}
_PLAIN = re.compile(r"[\d.,]+", re.ASCII)
_AMOUNT_OF = f"{AMOUNT} of "


def result_fields(typed: Mapping[str, str]) -> dict[str, str]:
    """What is typed, by the names of the fields of a result. Raises FieldErrors."""
    given = {words: text.strip() for words, text in typed.items() if text.strip()}
    fields = {words: text for words, text in given.items() if words not in IN_ONE_LINE}
    for words in (OTHERS, LOD, LOQ):
        if words in given:
            fields |= _by_analyte(words, given[words], [one for one in fields if one.startswith(_AMOUNT_OF)])
    if WATER in fields:
        fields[WATER] = fields[WATER].rstrip(" %")
    return fields | _uncertainty(fields)


def _by_analyte(words: str, text: str, amounts: list[str]) -> dict[str, str]:
    """ "THC 0.02, THCA 0.05", or one figure for all that have an amount."""
    what = IN_ONE_LINE[words]
    if _PLAIN.fullmatch(text) and words != OTHERS:
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
        name, _, figure = part.replace("=", " ").rpartition(" ")
        if not name.strip():
            right = "write each analyte with its figure, such as THC 0.02, THCA 0.05"
            raise FieldErrors([FieldError(words, text, f"has {shown(part)} alone; {right}")])
        yield name.strip(), figure


def _uncertainty(fields: Mapping[str, str]) -> dict[str, str]:
    """An uncertainty with its unit, such as "10 % rel", as figure and kind; a bare figure stays as it is."""
    text = fields.get(UNCERTAINTY, "")
    if not text or _PLAIN.fullmatch(text):
        return {}
    try:
        found = read_uncertainty(text, fields.get("unit", "%"), POINT)
    except Unreadable as wrong:
        raise FieldErrors([FieldError(UNCERTAINTY, text, str(wrong))]) from wrong
    return {UNCERTAINTY: f"{found.amount:f}", "uncertainty is": found.kind}
