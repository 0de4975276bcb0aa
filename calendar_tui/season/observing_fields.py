"""The fields of what is observed, and of what was found. A part of `fields`."""

from __future__ import annotations

import re
from collections.abc import Mapping
from decimal import Decimal
from typing import Any

from calendar_tui.season import readers as r
from calendar_tui.season.field import REQUIRED, Field
from calendar_tui.season.observing import NOT_LOOKED, NUMBER, OBSERVED_PER, PLANNED, PLOT, SCALES
from calendar_tui.season.readers import Unreadable, shown
from calendar_tui.season.stages import LOOKED_FOR

_FIGURE = r.number(-1e7, 1e7)
_AT = re.compile(r"\w[\w-]{0,23}(?: [1-9]\d{0,5})?")


def unit(value: Any) -> str:
    written = r.text(value).strip()
    if not written or len(written) > 24:
        raise Unreadable(f'is {shown(value)}; write a unit such as "cm" or "%", or "1" where it has none')
    return written


def observed_at(value: Any) -> str:
    """A plot or cohort, and the number of a plant behind a space."""
    if isinstance(value, str) and _AT.fullmatch(value):
        return value
    raise Unreadable(
        f'is {shown(value)}; write a plot or cohort, and a plant behind a space, such as "T1-101 3"'
    )


def observed(value: Any) -> str:
    """A value as it is written: 84.50 in quotes keeps its digits."""
    if isinstance(value, bool) or not isinstance(value, int | float | str):
        raise Unreadable(f'is {shown(value)}; write it in quotes, such as "84.5"')
    written = r.words(value) if isinstance(value, str) else f"{Decimal(repr(value)):f}"
    if not written.strip() or len(written) > 200:
        raise Unreadable(f'is {shown(value)}; what is missing has no line, and none is "0"')
    return written.strip()


OBSERVING_FIELDS: Mapping[str, tuple[Field, ...]] = {
    "variable": (
        Field("id", r.name_id, REQUIRED, "", "short name"),
        Field("name", r.words, "", "", "longer name"),
        Field("unit", unit, REQUIRED, "", 'of its values, such as cm or %; "1" for counts, scores and marks'),
        Field("scale", r.one_of(*SCALES), NUMBER, "", "what its values are"),
        Field("low", _FIGURE, None, "its unit", "a value under it is asked back"),
        Field("high", _FIGURE, None, "its unit", "a value over it is asked back"),
        Field("method", r.words, "", "", "how it is measured"),
        Field("definition", r.words, "", "", "which of several meanings is used"),
        Field("per", r.one_of(*OBSERVED_PER), PLOT, "", "what one value stands for"),
        Field("plants", r.whole(1, 100_000), None, "plants", "of a plot, where each has a value of its own"),
        Field("planned", r.one_of(*PLANNED), "", "", "what a count is held against"),
        Field("stage", r.one_of(*LOOKED_FOR), "", "stage", "of which a share has come to it"),
    ),
    "observation": (
        Field("date", r.day, REQUIRED, "date", "when"),
        Field(
            "at", observed_at, REQUIRED, "plot or cohort id", "where; the number of a plant behind a space"
        ),
        Field("variable", r.name_id, REQUIRED, "variable id", "of what"),
        Field("value", observed, "", "as the variable", "as it was written; under a limit it stays text"),
        Field("state", r.one_of(NOT_LOOKED), "", "", "that nobody looked, in place of a value"),
        Field("who", r.words, "", "", "who looked"),
        Field("note", r.words, "", "", "anything"),
    ),
}
