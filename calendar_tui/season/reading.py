"""Plain data in, a season and its problems out. Every problem is found in one reading."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from calendar_tui.season import records
from calendar_tui.season.checks import CHECKS
from calendar_tui.season.fields import FIELDS, LISTED, NAMED, OPTIONAL, REQUIRED, SINGLE, Field
from calendar_tui.season.problems import KeyPath, Problem
from calendar_tui.season.readers import FIRST_DATE, LAST_DATE, Unreadable, choices, shown
from calendar_tui.season.unread import unknown_keys, unknown_tables
from calendar_tui.season.upgrades import (
    FORMAT,
    form_of,
    is_newer,
    newer,
    upgrade_problems,
    upgraded,
)

_MAKE: Mapping[str, Callable[..., Any]] = {
    "site": records.Site,
    "crew": records.Crew,
    "heat": records.Heat,
    "station": records.Station,
    "supplies": records.Supplies,
    "stock": records.Stock,
    "capacity": records.Capacity,
    "draft": records.Draft,
    "columns": records.StationColumns,
    "lamps": records.Lamps,
    "place": records.Place,
    "variety": records.Variety,
    "cohort": records.Cohort,
    "chore": records.Chore,
    "task": records.Task,
    "outage": records.Outage,
    "programme": records.Programme,
}


@dataclass(frozen=True, slots=True)
class Reading:
    """A season, or None where a problem stands in the way, and the problems. station: where that reads well."""

    season: records.Season | None
    problems: tuple[Problem, ...]
    station: records.Station | None = None


def read_season(data: Mapping[str, Any]) -> Reading:
    """The season in the data of a season file (as tomli gives it). Raises nothing: problems are returned.

    Data of an older form are upgraded for it; those of a newer one are read as far as that goes.
    """
    problems = list(upgrade_problems(data))
    data = upgraded(data)
    _check_top(data, problems)
    single = {kind: _read_single(kind, data, problems) for kind in SINGLE}
    optional = {k: _read_record(k, (k,), data[k], problems) for k in OPTIONAL if k in data}
    listed = {kind: _read_list(kind, data.get(kind, []), problems) for kind in LISTED}
    if problems:
        problems += _problems_of_the_rest(data, single, optional, listed)
        station = optional.get("station")
        return _reading(data, None, records.Station(**station) if station else None, problems)
    season = _season(single, optional, listed)
    found = tuple(p for check in CHECKS for p in check(season))
    return _reading(data, season, season.station, found)


def _reading(
    data: Mapping[str, Any],
    season: records.Season | None,
    station: records.Station | None,
    problems: Sequence[Problem],
) -> Reading:
    sound = all(problem.path[:1] != ("station",) for problem in problems)
    return Reading(None if problems else season, _told(data, problems), station if sound else None)


_Values = Mapping[str, Any]
_Listed = Mapping[str, Mapping[int, _Values]]


def _season(
    single: Mapping[str, _Values], optional: Mapping[str, _Values | None], listed: _Listed
) -> records.Season:
    """The season of what was read; listed: by kind, the values of its records by their positions."""
    rows = {kind: [_MAKE[kind](**values) for values in found.values()] for kind, found in listed.items()}
    return records.Season(
        **single["season"],
        site=_MAKE["site"](**single["site"]),
        places={record.id: record for record in rows["place"]},
        varieties={record.id: record for record in rows["variety"]},
        cohorts={record.id: record for record in rows["cohort"]},
        chores={record.id: record for record in rows["chore"]},
        tasks=tuple(rows["task"]),
        outages=tuple(rows["outage"]),
        programmes=tuple(rows["programme"]),
        drafts={record.id: record for record in rows["draft"]},
        **{kind: _MAKE[kind](**values) for kind, values in optional.items() if values is not None},
    )


# What is taken for a table that does not read, so that all else can be looked at; what hangs on it is not told then.
_STAND_INS: Mapping[str, _Values] = {
    "season": {"name": "", "first_day": FIRST_DATE, "last_day": LAST_DATE},
    "site": {"latitude": 0.0, "longitude": 0.0, "timezone": "UTC"},
}
# Tables whose problems may follow from records of these kinds that do not read.
_FOLLOWS: Mapping[str, tuple[str, ...]] = {"crew": ("chore", "task"), "heat": ("station",)}


def _problems_of_the_rest(
    data: Mapping[str, Any],
    single: Mapping[str, _Values],
    optional: Mapping[str, _Values | None],
    listed: _Listed,
) -> list[Problem]:
    """What does not hold among the records that read, where others do not; nothing that may follow from those others."""
    lost = {kind: _lost(data.get(kind), found) for kind, found in listed.items()}
    if None in lost.values():
        return []
    missing = {kind for kind, values in single.items() if not values}
    names = {f'"{name}"' for ids in lost.values() for name in ids or ()}
    gone = {kind for kind, ids in lost.items() if ids} | {
        k for k, values in optional.items() if values is None
    }
    kept = {kind: _first_of_each_id(found) for kind, found in listed.items()}
    season = _season({kind: single[kind] or _STAND_INS[kind] for kind in SINGLE}, optional, kept)
    return [
        Problem(_placed(problem.path, kept), problem.message)
        for check in CHECKS
        for problem in check(season)
        if not (missing and (problem.path[0] in SINGLE or problem.path[-1] == "target_h"))
        and gone.isdisjoint(_FOLLOWS.get(str(problem.path[0]), ()))
        and not any(name in problem.message for name in names)
    ]


def _lost(given: Any, found: Mapping[int, _Values]) -> list[str] | None:
    """The ids of the records of a kind that do not read; None where they cannot be told."""
    if given is None:
        return []
    if not isinstance(given, list):
        return None
    records_lost = [record for i, record in enumerate(given) if i not in found]
    if not all(isinstance(record, dict) for record in records_lost):
        return None
    names = [record.get("id", record.get("place")) for record in records_lost]
    return names if all(isinstance(name, str) for name in names) else None


def _first_of_each_id(found: Mapping[int, _Values]) -> dict[int, _Values]:
    seen: set[Any] = set()
    kept = {}
    for i, values in found.items():
        if values.get("id", i) not in seen:
            kept[i] = values
            seen.add(values.get("id", i))
    return kept


def _placed(path: KeyPath, kept: _Listed) -> KeyPath:
    """A path among the records that were kept, as it is among all of them."""
    if len(path) < 2 or path[0] not in kept or not isinstance(path[1], int):
        return path
    return (path[0], list(kept[str(path[0])])[path[1]], *path[2:])


def _told(data: Mapping[str, Any], problems: Sequence[Problem]) -> tuple[Problem, ...]:
    """The problems, and before them why a newer form may have them."""
    return (newer(data), *problems) if problems and is_newer(data) else tuple(problems)


def read_tasks(data: Mapping[str, Any]) -> tuple[tuple[records.Task, ...], tuple[Problem, ...]]:
    """Only the tasks in the data and their problems; quick, for the week's work."""
    problems: list[Problem] = []
    _check_top(data, problems)
    tasks = _read_list("task", data.get("task", []), problems)
    return tuple(records.Task(**t) for t in tasks.values()), _told(data, problems)


def read_chores(rows: Sequence[Mapping[str, Any]]) -> dict[str, records.Chore]:
    """Chores by their ids, of the plain data of a starter list. Raises ValueError where one does not read."""
    problems: list[Problem] = []
    found = _read_list("chore", list(rows), problems)
    if problems:
        raise ValueError(problems[0].message)
    return {values["id"]: records.Chore(**values) for values in found.values()}


def _check_top(data: Mapping[str, Any], problems: list[Problem]) -> None:
    version = data.get("format")
    if form_of(data) is None:
        said = "has no format" if version is None else f"has format {shown(version)}"
        right = f"write format = {FORMAT} at its top, which is what this program reads"
        problems.append(Problem(("format",), f"the file {said}; {right}"))
    for key, guess in unknown_tables(data):
        if guess:
            problems.append(Problem((key,), f"{shown(key)} is not a known table{guess}"))


def _read_single(kind: str, data: Mapping[str, Any], problems: list[Problem]) -> dict[str, Any]:
    if kind not in data:
        needed = ", ".join(f.key for f in FIELDS[kind] if f.default is REQUIRED)
        problems.append(Problem((kind,), f"there is no [{kind}]; add it with {needed}"))
        return {}
    return _read_record(kind, (kind,), data[kind], problems) or {}


def _header(kind: str) -> str:
    """How a record of this kind is written."""
    if kind in (*SINGLE, *OPTIONAL):
        return f"[{kind}], once"
    return f"[[{kind}]]" if kind in LISTED else f"{kind} = {{ key = value, ... }}"


def _read_list(kind: str, value: Any, problems: list[Problem]) -> dict[int, dict[str, Any]]:
    """The values of the records that read, by their positions."""
    if not isinstance(value, list):
        problems.append(Problem((kind,), f"{kind} must be written as [[{kind}]], with double brackets"))
        return {}
    out: dict[int, dict[str, Any]] = {}
    seen: dict[Any, int] = {}
    for i, record in enumerate(value):
        read = _read_record(kind, (kind, i), record, problems)
        if read is None:
            continue
        if "id" in read:
            if read["id"] in seen:
                problems.append(
                    Problem(
                        (kind, i, "id"),
                        f'id "{read["id"]}" is used by two {kind} records; give one another id',
                    )
                )
            seen[read["id"]] = i
        out[i] = read
    return out


def _read_record(kind: str, path: KeyPath, record: Any, problems: list[Problem]) -> dict[str, Any] | None:
    """The record's values by attribute name, or None where one is wrong."""
    if not isinstance(record, dict):
        problems.append(
            Problem(
                path, f"{kind} is {shown(record)}; write it as {_header(kind)}, with the keys of a {kind}"
            )
        )
        return None
    before = len(problems)
    out: dict[str, Any] = {}
    fields = FIELDS[kind]
    for field in fields:
        _read_field(kind, field, path, record, out, problems)
    problems += [
        Problem((*path, key), f"{shown(key)} is not a key of a {kind}{guess}")
        for key, guess in unknown_keys(kind, record)
        if guess
    ]
    return out if len(problems) == before else None


def _read_field(
    kind: str,
    field: Field,
    path: KeyPath,
    record: Mapping[str, Any],
    out: dict[str, Any],
    problems: list[Problem],
) -> None:
    if field.key not in record:
        if field.default is REQUIRED:
            right = f"{field.unit}: {field.meaning}" if field.unit else field.meaning
            problems.append(Problem(path, f"the {kind} has no {field.key}; add {field.key} = ... ({right})"))
        elif field.default is not None:
            out[field.name] = field.default
        return
    value = record[field.key]
    try:
        if field.read is not None:
            out[field.name] = field.read(value)
            return
    except Unreadable as wrong:
        problems.append(Problem((*path, field.key), f"{field.key} {wrong}"))
        return
    inner = _read_inner(field.table, (*path, field.key), value, problems)
    if inner is not None:
        out[field.name] = inner


def _read_inner(table: str, path: KeyPath, value: Any, problems: list[Problem]) -> Any:
    if table not in NAMED:
        read = _read_record(table, path, value, problems)
        return None if read is None else _MAKE[table](**read)
    if not isinstance(value, dict):
        problems.append(Problem(path, f"{path[-1]} is {shown(value)}; write {{ name = value, ... }}"))
        return None
    reader, names = NAMED[table]
    out: dict[str, Any] = {}
    for key, given in value.items():
        if names and key not in names:
            problems.append(
                Problem(
                    (*path, key),
                    f"{shown(key)} is not known under {path[-1]}{choices(key, names)}",
                )
            )
            continue
        try:
            out[key] = reader(given)
        except Unreadable as wrong:
            problems.append(Problem((*path, key), f"{key} {wrong}"))
    return out
