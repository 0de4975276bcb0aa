"""The response of many sites as one table, gathered piece by piece; as CSV or Parquet by pandas."""

from __future__ import annotations

import io
from array import array
from collections.abc import Callable, Iterator, Mapping
from datetime import date

import numpy as np
import pandas as pd

from calendar_tui.planning.response.many import DATES, NO_GROWTH, OutcomeColumns
from calendar_tui.season.plantings import lights_off_text
from calendar_tui.season.records import light_name

NAMES = ("site", "variety", "place", "start", "nursery", "lamps_off")
COLUMNS = (*NAMES, "weather_year", *DATES, "growth_d", "never")
_DAYS_BEFORE_1970 = date(1970, 1, 1).toordinal()


class Gathered:
    """Rows as they come in, in little memory."""

    def __init__(self) -> None:
        self.rows = self.never = self.pieces = 0
        self.notes: dict[str, None] = {}
        self._named: list[tuple[tuple[str, ...], int]] = []
        self._years: list[str] = []
        self._dates: dict[str, array[int]] = {name: array("i") for name in DATES}
        self._grown = array("h")
        self._never: list[str] = []

    def add(self, piece: OutcomeColumns) -> None:
        """Add the rows of a piece below those that are there."""
        planting, count = piece.planting, len(piece.years)
        place = light_name(planting.place, planting.part)
        off = lights_off_text(planting.lights_off)
        names = (piece.site, planting.variety, place, planting.start, planting.nursery or "", off)
        self._named.append((names, count))
        self._years += piece.years
        for name, column in piece.dates.items():
            self._dates[name].extend(column)
        self._grown.extend(piece.growth_d)
        self._never += piece.never
        self.rows += count
        self.pieces += 1
        self.never += sum(map(bool, piece.never))
        self.notes |= {f"{piece.site}: {note}": None for note in piece.notes}

    def frame(self) -> pd.DataFrame:
        """The table: COLUMNS, dates without a time, and a missing date or number where there is none."""
        counts = [count for _, count in self._named]
        columns: dict[str, object] = {
            name: pd.Categorical([names[n] for names, _ in self._named]).repeat(counts)
            for n, name in enumerate(NAMES)
        }
        columns["weather_year"] = pd.Categorical(self._years)
        columns |= {name: _dates(column) for name, column in self._dates.items()}
        grown = pd.Series(self._grown, dtype="Int16")
        columns["growth_d"] = grown.mask(grown == NO_GROWTH)
        columns["never"] = pd.Categorical(self._never)
        return pd.DataFrame(columns, columns=list(COLUMNS))


def _dates(numbers: array[int]) -> pd.Series[pd.Timestamp]:
    """Numbers of days since the year 1 as dates, 0 as none."""
    days = np.array(numbers, dtype="int64")
    # Whole numbers all the way: a missing float among them is made of memory that pandas 2.2 never filled.
    dates = (days - _DAYS_BEFORE_1970).astype("datetime64[D]")
    dates[days == 0] = np.datetime64("NaT", "D")
    return pd.Series(dates.astype("datetime64[ns]"))


def _csv(frame: pd.DataFrame) -> bytes:
    # No name begins like a formula: names of places, varieties and sites begin with a letter or a digit.
    text = frame.to_csv(index=False, lineterminator="\r\n", date_format="%Y-%m-%d")
    return str(text).encode("utf-8")


def _parquet(frame: pd.DataFrame) -> bytes:
    out = io.BytesIO()
    frame.to_parquet(out, index=False)
    return out.getvalue()


FORMS: Mapping[str, Callable[[pd.DataFrame], bytes]] = {".csv": _csv, ".parquet": _parquet}


def table_bytes(frame: pd.DataFrame, ending: str) -> bytes:
    """The table as a file of this ending. Raises ImportError where pandas lacks what Parquet needs."""
    return FORMS[ending](frame)


def notes_text(gathered: Gathered, most: int = 10) -> Iterator[str]:
    """What temperatures lack, site by site, so many of them."""
    notes = list(gathered.notes)
    yield from notes[:most]
    if len(notes) > most:
        yield f"and {len(notes) - most} more about temperatures"
