"""The values of a weather file made into days in degrees C; what is left out is counted and named with its line."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta, timezone
from typing import NamedTuple
from zoneinfo import ZoneInfo

from calendar_tui.season.measures import measured
from calendar_tui.season.readers import FIRST_DATE, LAST_DATE, shown
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.weather_files.cells import LEAST_C, MISSING_WORDS, MOST_C, TO_CELSIUS, degrees_of
from calendar_tui.season.weather_files.hours import fold
from calendar_tui.season.weather_files.moments import Moment, local_time, moment
from calendar_tui.season.weather_files.table import WeatherTable, metadata, position_of

# Above this share of days that air never has, the unit or a column is taken to be wrong, and not the day.
_MOST_WRONG = 0.1
_SECONDS = "utc_offset_seconds"
# The elements of GHCN-Daily that hold a day's low and high.
ELEMENTS = ("TMIN", "TMAX")


class WrongCell(NamedTuple):
    """A cell, or a day, that is left out: the line, and why."""

    line: int
    text: str


class Known(NamedTuple):
    """What is known of a file before its values are read; unit_by, order_by: how. columns: roles by heading, as a person said."""

    station: str
    unit: str
    unit_by: str
    order: str
    order_by: str
    columns: Mapping[str, str]


# A row with its line: its date as written, and its time by the clock of the site.
Dated = tuple[int, Moment, list[str]]
InTime = tuple[int, datetime, list[str]]
# By day: the line, the low and the high in degrees C; nan for none.
ByDay = dict[date, tuple[int, float, float]]


@dataclass(frozen=True, slots=True, kw_only=True)
class WeatherFile:
    """A file as it was read. days: lowest and highest in degrees C, in order; form, title: what it was taken for.

    unit, order: of its temperatures and dates; unit_by, order_by: how that is known. lacking: how many of its days have no
    temperatures, of whatever reason; missing: marks in place of a value, by how often; wrong: days that air never has, or of which the
    low is over the high; unread: cells that are neither number nor mark. flagged: values that failed a check of the service;
    torn: days of readings with too long a stretch between them; twice: days that stand more than once, of which the last counts.
    """

    form: str
    title: str
    note: str
    station: str
    unit: str
    unit_by: str
    order: str
    order_by: str
    days: Mapping[date, tuple[float, float]]
    first: date
    last: date
    position: tuple[float, float] | None = None
    columns: Mapping[str, str] = field(default_factory=dict)
    missing: Mapping[str, int] = field(default_factory=dict)
    wrong: tuple[WrongCell, ...] = ()
    unread: tuple[WrongCell, ...] = ()
    flagged: int = 0
    torn: tuple[date, ...] = ()
    twice: int = 0

    @property
    def lacking(self) -> int:
        """How many of the days from its first to its last have no temperatures."""
        return (self.last - self.first).days + 1 - len(self.days)


class TakenDays:
    """The values of a table on their way to days: what is measured, and what is left out and why."""

    def __init__(self, table: WeatherTable, known: Known, zone: ZoneInfo) -> None:
        self._table, self._layout, self._form = table, table.layout, table.layout.form
        self._known, self._zone = known, zone
        self._to_c = TO_CELSIUS[known.unit]
        self._missing: Counter[str] = Counter()
        self._unread: list[WrongCell] = []
        self._flagged = 0

    def file(self, moments: Sequence[Dated], unread: Sequence[WrongCell]) -> WeatherFile:
        """The file with its days. unread: rows whose date could not be read. Raises Refusal where no day has temperatures."""
        self._unread += unread
        dated = [row for row in self._in_time(moments) if self._tells_temperature(row[2])]
        by_day, torn, twice = self._by_day(dated)
        days, wrong = self._plausible(by_day)
        if not days:
            first = f"; line {self._unread[0].line}: {self._unread[0].text}" if self._unread else ""
            raise Refusal(
                f"no day of the file has both a low and a high, of {len(dated)} rows with a date{first}"
            )
        known = self._known
        return WeatherFile(
            form=self._form.name,
            title=self._form.title,
            note=self._form.note,
            station=known.station,
            unit=known.unit,
            unit_by=known.unit_by,
            order=known.order if known.order_by else "",
            order_by=known.order_by,
            days=dict(sorted(days.items())),
            first=min(at for _, at, _ in dated).date(),
            last=max(at for _, at, _ in dated).date(),
            position=position_of(self._table, known.station, dated[0][2]),
            columns=known.columns,
            missing=dict(self._missing),
            wrong=wrong,
            unread=tuple(sorted(self._unread)),
            flagged=self._flagged,
            torn=tuple(torn),
            twice=twice,
        )

    def _by_day(self, rows: Sequence[InTime]) -> tuple[ByDay, Sequence[date], int]:
        """The days with their lines, the days of readings that are torn, and how many stand twice."""
        if self._layout.element is not None:
            return self._by_elements(rows), (), 0
        if self._layout.temperature is None:
            by_day, twice = self._daily(rows)
            return by_day, (), twice
        folded = fold(self._readings(rows))
        return {day: (0, *pair) for day, pair in folded.days.items()}, folded.torn, 0

    def _in_time(self, moments: Sequence[Dated]) -> Iterator[InTime]:
        """The rows with their times by the site's clock where an offset is written with them or above them."""
        whole = self._whole_offset()
        for line, one, cells in moments:
            try:
                at = one.time_in(self._known.order)
            except ValueError:
                self._unread.append(
                    WrongCell(line, f"no date with {self._known.order.replace('-', ' ')}: {one.numbers}")
                )
                continue
            offset = one.zone if one.zone is not None else whole
            if offset is not None and one.clock is not None:
                at = local_time(at, offset, self._zone)
            if FIRST_DATE <= at.date() <= LAST_DATE:
                yield line, at, cells
            else:
                self._unread.append(
                    WrongCell(line, f"{at.date()} is not from {FIRST_DATE.year} to {LAST_DATE.year}")
                )

    def _tells_temperature(self, cells: Sequence[str]) -> bool:
        at = self._layout.element
        return at is None or cells[at].strip().upper() in ELEMENTS

    def _whole_offset(self) -> timedelta | None:
        """The offset from UTC of all times, where the form has one, or the file above its headings or in the heading of its times."""
        if self._form.is_utc:
            return timedelta(0)
        if (seconds := metadata(self._table.above, self._known.station).get(_SECONDS)) is not None:
            return _offset(seconds)
        heading = self._layout.headings[self._layout.date[-1]].casefold()
        for word in ("gmt", "utc"):
            if word in heading:
                behind = heading.partition(word)[2].strip(" )]")
                return moment(f"2000-01-01 00:00{_padded(behind)}").zone
        return None

    def _readings(self, dated: Sequence[InTime]) -> Iterator[tuple[datetime, float]]:
        for line, at, cells in dated:
            degrees = self._degrees(line, cells, self._layout.temperature)
            if LEAST_C <= degrees <= MOST_C:
                yield at, degrees
            elif not math.isnan(degrees):
                self._unread.append(WrongCell(line, f"{degrees:.1f} C, which air never has"))

    def _daily(self, dated: Sequence[InTime]) -> tuple[ByDay, int]:
        if self._layout.element is not None:
            return self._by_elements(dated), 0
        days: ByDay = {}
        twice = 0
        for line, at, cells in dated:
            low, high = (self._degrees(line, cells, where) for where in (self._layout.low, self._layout.high))
            twice += at.date() in days
            days[at.date()] = line, low, high
        return days, twice

    def _by_elements(self, dated: Sequence[InTime]) -> ByDay:
        """The days of a file with a row for each element."""
        sides: Mapping[str, dict[date, tuple[int, float]]] = {element: {} for element in ELEMENTS}
        assert self._layout.element is not None
        for line, at, cells in dated:
            side = sides[cells[self._layout.element].strip().upper()]
            side[at.date()] = line, self._degrees(line, cells, self._layout.temperature)
        lows, highs = (sides[element] for element in ELEMENTS)
        none = (0, math.nan)
        both = ((day, lows.get(day, none), highs.get(day, none)) for day in {*lows, *highs})
        return {day: (max(low[0], high[0]), low[1], high[1]) for day, low, high in both}

    def _degrees(self, line: int, cells: Sequence[str], where: int | None) -> float:
        """A temperature in C; nan where none was measured, or what stands there failed a check or is no number."""
        text = cells[where].strip() if where is not None and where < len(cells) else ""
        try:
            value = degrees_of(text, self._form.missing)
        except ValueError:
            self._unread.append(WrongCell(line, f"{shown(text)} is no number"))
            return math.nan
        if math.isnan(value):
            self._missing[text if text.casefold() not in MISSING_WORDS or text else "empty"] += 1
            return math.nan
        if where is not None and self._is_flagged(cells, where):
            self._flagged += 1
            return math.nan
        return self._to_c(value * self._form.scale)

    def _is_flagged(self, cells: Sequence[str], where: int) -> bool:
        """Whether a value failed a check of the service: its flag is not empty, the second of several in one cell."""
        if not self._layout.flags:
            return False
        at = self._layout.flags[0] if self._layout.element is not None else where + 1
        if at not in self._layout.flags or at >= len(cells):
            return False
        flags = cells[at].split(",")
        return bool(flags[1 if len(flags) > 1 else 0].strip()) and (
            self._layout.element is not None or len(flags) > 1
        )

    def _plausible(self, by_day: ByDay) -> tuple[dict[date, tuple[float, float]], tuple[WrongCell, ...]]:
        """The days with both temperatures, and those of which they cannot be.

        Raises Refusal where these are too many to be the days' fault.
        """
        days: dict[date, tuple[float, float]] = {}
        wrong: list[WrongCell] = []
        for day, (line, low, high) in by_day.items():
            if math.isnan(low) or math.isnan(high):
                continue
            if why := _why_wrong(low, high):
                wrong.append(WrongCell(line, f"{day}: {why}"))
            else:
                days[day] = low, high
        measured = len(days) + len(wrong)
        if len(wrong) > max(_MOST_WRONG * measured, 1):
            raise Refusal(
                f"{len(wrong)} of {measured} days are such as air never has, the first on line {wrong[0].line} ({wrong[0].text}); "
                f"it was read in {self._known.unit}: say its unit and columns rightly"
            )
        return days, tuple(sorted(wrong))


def _offset(seconds: str) -> timedelta:
    """Raises Refusal for what is no offset from UTC."""
    try:
        offset = timedelta(seconds=float(seconds))
        timezone(offset)  # which refuses a day and more
    except (ValueError, OverflowError) as error:
        raise Refusal(f"{_SECONDS} is {shown(seconds)}; it would be seconds, such as -25200") from error
    return offset


def _padded(offset: str) -> str:
    """ "-05:00" of "-05:00", "-5" and "-5:00"; "Z" of nothing."""
    if not offset or offset[0] not in "+-":
        return "Z"
    hours, _, minutes = offset[1:].partition(":")
    return f"{offset[0]}{hours[:2]:0>2}:{minutes[:2] or '00'}" if hours.isdigit() else "Z"


def _why_wrong(low: float, high: float) -> str:
    for name, value in (("low", low), ("high", high)):
        if not LEAST_C <= value <= MOST_C:
            return f"the {name} is {_tenths(value)}, which air never has"
    return f"the low, {_tenths(low)}, is over the high, {_tenths(high)}" if low > high else ""


def _tenths(degrees_c: float) -> str:
    return measured(degrees_c, "C", "{:.1f}".format)
