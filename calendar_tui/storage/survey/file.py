"""A survey: many sites, varieties and dates whose response is to be worked out; a TOML file with its sites beside it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path
from typing import Any

from calendar_tui.season import readers as r
from calendar_tui.season.edits import Data
from calendar_tui.season.plantings import lights_off
from calendar_tui.season.problems import Problem
from calendar_tui.season.records import Season
from calendar_tui.season.weather import Station
from calendar_tui.storage.disk.whole_file import refused
from calendar_tui.storage.opening import need_season
from calendar_tui.storage.problems import FileProblem, SeasonFileError
from calendar_tui.storage.season_file import parse, read_text
from calendar_tui.storage.station.file import read_station
from calendar_tui.storage.survey.sites import SiteRow, read_sites
from calendar_tui.storage.toml.located import located

EACH, TOGETHER = "each", "together"


@dataclass(frozen=True, slots=True, kw_only=True)
class Survey:
    """season: what is taken of its file: varieties, places with their lamps, and heat. lights_off: as in a Planting."""

    season: Season
    sites: tuple[SiteRow, ...]
    varieties: tuple[str, ...]
    place: str
    start: str
    nursery: str | None
    nursery_days: int | None
    lamps_off: tuple[date | int | None, ...]
    first_date: date
    last_date: date
    every_d: int
    weather_years: str
    folder: Path


def _several(one: r.Reader) -> r.Reader:
    def read(value: Any) -> tuple[Any, ...]:
        if not isinstance(value, list) or not value:
            raise r.Unreadable(f'is {r.shown(value)}; write a list, such as ["amber", "brook"]')
        return tuple(dict.fromkeys(one(v) for v in value))

    return read


# Each key: its reader, and its default; ... where it must be there.
KEYS: Mapping[str, tuple[r.Reader, Any]] = {
    "season": (r.file_name, ...),
    "sites": (r.file_name, ...),
    "varieties": (_several(r.name_id), ()),
    "place": (r.light_id, ...),
    "start": (r.one_of("seed", "cutting"), "seed"),
    "nursery": (r.name_id, None),
    "nursery_days": (r.whole(1, 120), None),
    "lamps_off": (_several(lights_off), (None,)),
    "first_date": (r.day, ...),
    "last_date": (r.day, ...),
    "every_d": (r.whole(1, 366), 1),
    "weather_years": (r.one_of(EACH, TOGETHER), EACH),
}


def read_survey(path: Path) -> Survey:
    """A survey file, its season and its sites. Raises SeasonFileError with the problems of the first of them that has any."""
    if not path.exists():
        raise refused(path, "there is no such file; docs/planting-dates.md shows what a survey is")
    text = read_text(path)
    data = parse(path, text)
    values: dict[str, Any] = {}
    problems = [*_unknown(data), *_read_keys(data, values)]
    if problems:
        raise SeasonFileError(located(path, text, tuple(problems)))
    _, season = need_season(path.parent / values["season"], weather=False)
    if problems := list(_beyond(season, values)):
        raise SeasonFileError(located(path, text, tuple(problems)))
    sites = read_sites(path.parent / values["sites"], season)
    names = values["varieties"] or tuple(season.varieties)
    return Survey(**values | {"season": season, "sites": sites, "varieties": names}, folder=path.parent)


def _unknown(data: Data) -> Iterator[Problem]:
    for key in data:
        if key not in KEYS:
            yield Problem((key,), f'"{key}" is no key of a survey{r.choices(key, KEYS)}')


def _read_keys(data: Data, values: dict[str, Any]) -> Iterator[Problem]:
    for key, (read, default) in KEYS.items():
        if key not in data:
            values[key] = default
            if default is ...:
                yield Problem((), f"add {key}; a survey has season, sites, place, first_date and last_date")
            continue
        try:
            values[key] = read(data[key])
        except r.Unreadable as wrong:
            yield Problem((key,), f"{key} {wrong}")


def _beyond(season: Season, values: Mapping[str, Any]) -> Iterator[Problem]:
    """What the season does not have, and dates that cannot be."""
    for name in values["varieties"]:
        if name not in season.varieties:
            yield Problem(
                ("varieties",),
                f'"{name}" is not a variety of {values["season"]}{r.choices(name, season.varieties)}',
            )
    for key in ("place", "nursery"):
        name = values[key]
        if name is not None and season.place_of(name) is None:
            yield Problem(
                (key,), f'"{name}" is not a place of {values["season"]}{r.choices(name, season.places)}'
            )
    if values["last_date"] < values["first_date"]:
        yield Problem(
            ("last_date",),
            f"last_date {values['last_date']} is before first_date {values['first_date']}; give them in order",
        )


def season_at(survey: Survey, row: SiteRow) -> Season:
    """The survey's season at a site, with the days of its station. Raises SeasonFileError where those cannot be read."""
    season = replace(
        survey.season,
        site=row.site,
        cohorts={},
        chores={},
        tasks=(),
        outages=(),
        programmes=(),
        weather=None,
    )
    if not row.station or season.station is None:
        return season
    station: Station = replace(season.station, file=row.station)
    read = read_station(survey.folder, station)
    if read.days is None:
        where = FileProblem(str(survey.folder / row.station), None, f"the station of site {row.id}")
        raise SeasonFileError((*read.problems, where))
    return replace(season, weather=read.days)
