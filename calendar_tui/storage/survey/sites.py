"""The sites of a survey: a CSV with a row a site."""

from __future__ import annotations

import csv
import re
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any, NamedTuple

from calendar_tui.season import readers as r
from calendar_tui.season.fields import FIELDS
from calendar_tui.season.records import Season, Site
from calendar_tui.season.table_lines import separator_of
from calendar_tui.storage.disk.whole_file import refused
from calendar_tui.storage.problems import FileProblem, SeasonFileError
from calendar_tui.storage.table_file import spreadsheet_text

NEEDED = ("site", "latitude", "longitude", "timezone")
OPTIONAL = ("day", "monthly_low_c", "monthly_high_c", "station")
MOST_PROBLEMS = 20
_NAME = re.compile(r"\w[^\n]{0,59}")
_READERS: Mapping[str, r.Reader] = {f.key: f.read for f in FIELDS["site"] if f.read is not None}
_NUMBERS = ("latitude", "longitude")
_TWELVE = ("monthly_low_c", "monthly_high_c")


class SiteRow(NamedTuple):
    """station: the name of its station's file, beside the sites; "" for none."""

    id: str
    site: Site
    station: str


def read_sites(path: Path, season: Season) -> tuple[SiteRow, ...]:
    """The sites of a survey, in the order of the file.

    Raises SeasonFileError with the lines of what is wrong, the first 20: columns or cells, or stations for a season
    that cannot make use of them.
    """
    lines = list(_rows(path))
    header = [cell.strip() for cell in lines[0][1]] if lines else []
    if problems := list(_wrong_columns(header)):
        raise SeasonFileError([FileProblem(str(path), 1, message) for message in problems])
    rows: list[SiteRow] = []
    wrong_rows: list[FileProblem] = []
    seen: dict[str, int] = {}
    for line, cells in lines[1:]:
        if not any(cell.strip() for cell in cells):
            continue
        messages: list[str] = []
        row = _row(header, cells, season, messages)
        if row is not None and (before := seen.setdefault(row.id, line)) != line:
            messages.append(f'site "{row.id}" stands on line {before} too; give each site a name of its own')
        wrong_rows += [FileProblem(str(path), line, message) for message in messages]
        rows += [] if row is None else [row]
    if wrong_rows:
        raise SeasonFileError(_most(path, wrong_rows))
    if not rows:
        raise refused(path, f"there is no site in it; add a row under {','.join(header)}")
    return tuple(rows)


def _rows(path: Path) -> Iterator[tuple[int, list[str]]]:
    """The cells of each row, with the number of its line; by the separator that the first line has most of."""
    if not path.exists():
        raise refused(path, "there is no such file; put the sites there, or change sites in the survey")
    text = spreadsheet_text(path)
    first = text.partition("\n")[0]
    reader = csv.reader(text.splitlines(), delimiter=separator_of(first), strict=True)
    try:
        for cells in reader:
            yield reader.line_num, cells
    except csv.Error as error:
        raise refused(path, f"this is no CSV: {error}; see to the quotes in it", reader.line_num) from None


def _wrong_columns(header: Sequence[str]) -> Iterator[str]:
    known = (*NEEDED, *OPTIONAL)
    for name in NEEDED:
        if name not in header:
            yield f"there is no column {name}; the first line names the columns, such as {','.join(NEEDED)}"
    for name in header:
        if name not in known:
            yield f'"{r.plain(name)}" is no column of sites{r.choices(name, known)}'
    for name in {n for n in header if header.count(n) > 1}:
        yield f"the column {r.plain(name)} stands there twice; leave one out"


def _row(header: Sequence[str], cells: Sequence[str], season: Season, messages: list[str]) -> SiteRow | None:
    """A site; None, with the reasons in `said`, where something in it cannot be."""
    if len(cells) != len(header):
        messages.append(f"{len(cells)} cells, and {len(header)} columns; quote a cell that has a comma in it")
        return None
    words = {name: cell.strip() for name, cell in zip(header, cells, strict=True)}
    name = words.pop("site")
    if not _NAME.fullmatch(name) or not name.isprintable():
        messages.append(
            f"site is {r.shown(name)}; write a name of 1 to 60 characters, a letter or digit first"
        )
    station = words.pop("station", "")
    if station:
        messages += _station_problems(station, season)
    values: dict[str, Any] = {}
    for key, word in words.items():
        if word or key in NEEDED:
            _read(key, word, values, messages)
    if ("monthly_low_c" in values) != ("monthly_high_c" in values) and not messages:
        messages.append("monthly_low_c and monthly_high_c go together; give both or neither")
    return None if messages else SiteRow(name, Site(**values), station)


def _read(key: str, word: str, values: dict[str, Any], messages: list[str]) -> None:
    try:
        values[key] = _READERS[key](_value(key, word))
    except r.Unreadable as wrong:
        messages.append(f"{key} {wrong}")


def _value(key: str, word: str) -> Any:
    """The cell as a season file would have it: a number, twelve with blanks between, or text."""
    if key in _NUMBERS:
        return _number(word)
    return [_number(part) for part in word.split()] if key in _TWELVE else word


def _number(word: str) -> Any:
    try:
        return float(word)
    except ValueError:  # the reader says what would be right
        return word


def _station_problems(station: str, season: Season) -> Iterator[str]:
    try:
        r.file_name(station)
    except r.Unreadable as wrong:
        yield f"station {wrong}"
    if season.heat is None:
        yield "a station is given, and the season does not run on heat; add [heat] to it, or leave the column out"
    elif season.station is None:
        yield "a station is given, and the season has no [station] that says its unit and columns; add it there"


def _most(path: Path, problems: Sequence[FileProblem]) -> list[FileProblem]:
    more = len(problems) - MOST_PROBLEMS
    last = (
        [FileProblem(str(path), problems[MOST_PROBLEMS].line, f"and {more} more, from this line on")]
        if more > 0
        else []
    )
    return [*problems[:MOST_PROBLEMS], *last]
