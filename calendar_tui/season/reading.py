"""Plain data in, a season and its problems out. Every problem is found in one reading."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from calendar_tui.season import records
from calendar_tui.season.checks import CHECKS
from calendar_tui.season.fields import FIELDS, LISTED, NAMED, OPTIONAL, REQUIRED, SINGLE, Field
from calendar_tui.season.problems import Path, Problem
from calendar_tui.season.readers import Unreadable, choices, near, shown
from calendar_tui.season.upgrades import (
    FORMAT,
    RENAMED,
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
    "columns": records.Columns,
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
    """A season, or None where a problem stands in the way, and the problems in file order."""

    season: records.Season | None
    problems: tuple[Problem, ...]


def read_season(data: Mapping[str, Any]) -> Reading:
    """The season in the data of a season file (as tomllib gives it). Raises nothing: problems are returned.

    Data of an older form are upgraded for it; those of a newer one are read as far as that goes.
    """
    problems = list(upgrade_problems(data))
    data = upgraded(data)
    _check_top(data, problems)
    single = {kind: _read_single(kind, data, problems) for kind in SINGLE}
    optional = {k: _read_record(k, (k,), data[k], problems) for k in OPTIONAL if k in data}
    listed = {kind: _read_list(kind, data.get(kind, []), problems) for kind in LISTED}
    if problems:
        return Reading(None, _told(data, problems))
    season = records.Season(
        **single["season"],
        site=_MAKE["site"](**single["site"]),
        places={v["id"]: _MAKE["place"](**v) for v in listed["place"]},
        varieties={v["id"]: _MAKE["variety"](**v) for v in listed["variety"]},
        cohorts={v["id"]: _MAKE["cohort"](**v) for v in listed["cohort"]},
        chores={v["id"]: _MAKE["chore"](**v) for v in listed["chore"]},
        tasks=tuple(_MAKE["task"](**v) for v in listed["task"]),
        outages=tuple(_MAKE["outage"](**v) for v in listed["outage"]),
        programmes=tuple(_MAKE["programme"](**v) for v in listed["programme"]),
        **{kind: _MAKE[kind](**values) for kind, values in optional.items() if values is not None},
    )
    found = tuple(p for check in CHECKS for p in check(season))
    return Reading(None if found else season, _told(data, found))


def _told(data: Mapping[str, Any], problems: Sequence[Problem]) -> tuple[Problem, ...]:
    """The problems, and before them why a newer form may have them."""
    return (newer(data), *problems) if problems and is_newer(data) else tuple(problems)


def read_tasks(data: Mapping[str, Any]) -> tuple[tuple[records.Task, ...], tuple[Problem, ...]]:
    """Only the tasks in the data and their problems; quick, for the week's work."""
    problems: list[Problem] = []
    _check_top(data, problems)
    tasks = _read_list("task", data.get("task", []), problems)
    return tuple(records.Task(**t) for t in tasks), _told(data, problems)


def _check_top(data: Mapping[str, Any], problems: list[Problem]) -> None:
    version = data.get("format")
    if form_of(data) is None:
        said = "has no format" if version is None else f"has format {shown(version)}"
        right = f"write format = {FORMAT} at its top, which is what this program reads"
        problems.append(Problem(("format",), f"the file {said}; {right}"))
    known = ("format", *SINGLE, *OPTIONAL, *LISTED)
    for key in data:
        if key not in known and near(key, known):
            problems.append(Problem((key,), f"{shown(key)} is not a known table{near(key, known)}"))


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


def _read_list(kind: str, value: Any, problems: list[Problem]) -> list[dict[str, Any]]:
    if not isinstance(value, list):
        problems.append(Problem((kind,), f"{kind} must be written as [[{kind}]], with double brackets"))
        return []
    out: list[dict[str, Any]] = []
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
        out.append(read)
    return out


def _read_record(kind: str, path: Path, record: Any, problems: list[Problem]) -> dict[str, Any] | None:
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
    if len(record) > len(fields) or not record.keys() <= {f.key for f in fields}:
        _tell_near_misses(kind, fields, path, record, problems)
    return out if len(problems) == before else None


def _read_field(
    kind: str,
    field: Field,
    path: Path,
    record: Mapping[str, Any],
    out: dict[str, Any],
    problems: list[Problem],
) -> None:
    if field.key not in record:
        if field.default is REQUIRED:
            says = f"{field.unit}: {field.says}" if field.unit else field.says
            problems.append(Problem(path, f"the {kind} has no {field.key}; add {field.key} = ... ({says})"))
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


def _read_inner(table: str, path: Path, value: Any, problems: list[Problem]) -> Any:
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


def _tell_near_misses(
    kind: str, fields: tuple[Field, ...], path: Path, record: Mapping[str, Any], problems: list[Problem]
) -> None:
    """Unknown keys are the grower's own and are kept; one that looks like a slip of a known key is told."""
    absent = [f.key for f in fields if f.key not in record]
    renamed = RENAMED.get(kind, {})
    for key in record:
        if not any(f.key == key for f in fields) and (guess := near(renamed.get(key, key), absent)):
            problems.append(Problem((*path, key), f"{shown(key)} is not a key of a {kind}{guess}"))
