"""The fields of a season's weather: how heat is counted, its station, what was read off a thermometer. A part of `fields`."""

from __future__ import annotations

from collections.abc import Mapping

from calendar_tui.season import readers as r
from calendar_tui.season.field import DATE_FORMS, REQUIRED, Field

HEAT_METHODS = ("average", "modified", "single-sine")
WEATHER_FIELDS: Mapping[str, tuple[Field, ...]] = {
    "heat": (
        Field("method", r.one_of(*HEAT_METHODS), "single-sine", "", "how a day's degree-days are worked out"),
        Field("base_c", r.number(-10, 25), 1.0, "C", "development stands still at or below this"),
        Field("upper_c", r.number(10, 50), 29.0, "C", "development gets no quicker above this"),
        Field("reference_c", r.number(0, 45), 20.0, "C", "mean temperature at which figures in days hold"),
    ),
    "station": (
        Field(
            "file", r.file_name, REQUIRED, "file name", "a CSV file with a row a day, beside the season file"
        ),
        Field("unit", r.one_of("C", "F"), REQUIRED, "", "the unit of its temperatures; never guessed"),
        Field("columns", None, None, "", "the names of its columns", table="columns"),
        Field("date_form", r.one_of(*DATE_FORMS), DATE_FORMS[0], "", "how it writes 31 January 2026"),
        Field(
            "units",
            None,
            None,
            "",
            "of each form of file that was taken in: the unit, C or F",
            table="units_of",
        ),
        Field(
            "stations", None, None, "", "of each form of file: which station was taken", table="stations_of"
        ),
        Field(
            "date_orders",
            None,
            None,
            "",
            "of each form of file: which comes first in its dates",
            table="orders_of",
        ),
        Field("headings", None, None, "", "what each column of files taken in holds", table="headings_of"),
    ),
    "columns": (
        Field("date", r.text, "date", "", "the day"),
        Field("low", r.text, "low", "", "the day's minimum temperature"),
        Field("high", r.text, "high", "", "the day's maximum temperature"),
    ),
    "thermometer": (
        Field("date", r.day, REQUIRED, "date", "the day whose temperatures they are"),
        Field("low_c", r.number(-90, 60), REQUIRED, "C", "the day's minimum temperature"),
        Field("high_c", r.number(-90, 60), REQUIRED, "C", "the day's maximum temperature"),
    ),
}
