"""Plain data in, a season and its problems out. Every problem is found in one reading."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from typing import TYPE_CHECKING, Any, NamedTuple

from calendar_tui.season import records
from calendar_tui.season.checks import CHECKS
from calendar_tui.season.column_reading import read_many
from calendar_tui.season.kinds import (
    BY_ID,
    BY_NAME,
    IN_RECORDS,
    LISTED,
    OPTIONAL,
    RECORDS,
    SINGLE,
    identity_keys,
)
from calendar_tui.season.problems import KeyPath, Problem
from calendar_tui.season.readers import shown
from calendar_tui.season.record_reading import SPRAY, form_of_record, read_record, stand_in
from calendar_tui.season.unread import record_problems, unknown_tables
from calendar_tui.season.upgrades import FORMAT, form_of, is_newer, newer, upgrade_problems, upgraded

if TYPE_CHECKING:
    from calendar_tui.season.weather import Station


class Reading(NamedTuple):
    """What the data of a season file say.

    season: None where a problem stands in the way.
    readable: the season as far as it reads; a field that does not has its default, and a record that cannot do without
    it is left out. The same as `season` where there is no problem.
    station: where that reads well.
    rows: by kind, the tables of the data and the records read from them by position, for a later reading.
    """

    season: records.Season | None
    problems: tuple[Problem, ...]
    readable: records.Season
    station: Station | None
    rows: Mapping[str, tuple[Any, Mapping[int, Any]]]

    @property
    def task_problems(self) -> tuple[Problem, ...]:
        """The problems of the tasks themselves, or of what stands at the top of the file."""
        elsewhere = {*SINGLE, *OPTIONAL, *LISTED} - {"task"}
        return tuple(problem for problem in self.problems if problem.path[0] not in elsewhere)


# The records that were read from tables of data, by the identity of their tables.
_Records = Mapping[int, Any]
_NOTHING_READ: _Records = {}


class _Rows(NamedTuple):
    """The records of a kind by their positions: whole, and what reads of those that do not read as a whole."""

    whole: dict[int, Any]
    parts: dict[int, Any]


_Found = Mapping[str, Mapping[int, Any]]


def read_season(
    data: Mapping[str, Any], earlier: Reading | None = None, without: Collection[str] = ()
) -> Reading:
    """The season in the data of a season file (as tomli gives it). Raises nothing: problems are returned.

    Data of an older form are upgraded for it; those of a newer one are read as far as that goes.
    earlier: a reading of data that share tables with these, as those have before an edit: they are not read again.
    without: kinds that are not asked for: their records are not looked at, and the season has none.
    """
    problems = list(upgrade_problems(data))
    data = {key: value for key, value in upgraded(data).items() if key not in without}
    _check_top(data, problems)
    rows = {kind: _read_table(kind, data, problems) for kind in (*SINGLE, *OPTIONAL)}
    known = _by_table(earlier) if earlier else _NOTHING_READ
    rows |= {kind: _read_list(kind, data.get(kind, []), problems, known) for kind in LISTED}
    whole = {kind: of_kind.whole for kind, of_kind in rows.items()}
    if problems:
        problems += _problems_of_the_rest(data, whole)
        season = None
        readable = _season({kind: _as_far_as_read(of_kind) for kind, of_kind in rows.items()})
    else:
        season = readable = _season(whole)
        problems += [p for check in CHECKS for p in check(season)]
    sound = all(problem.path[:1] != ("station",) for problem in problems)
    return Reading(
        None if problems else season,
        _with_newer_form(data, problems),
        readable,
        whole["station"].get(0) if sound else None,
        {kind: (data.get(kind), whole[kind]) for kind in LISTED},
    )


def _as_far_as_read(rows: _Rows) -> dict[int, Any]:
    return dict(sorted({**rows.parts, **rows.whole}.items())) if rows.parts else rows.whole


def _by_table(earlier: Reading) -> _Records:
    return {
        id(tables[i]): record for tables, of_kind in earlier.rows.values() for i, record in of_kind.items()
    }


def _season(records_read: _Found) -> records.Season:
    """The season of the records that were read, by kind and position; stand-ins for the tables it cannot do without."""
    single = {kind: records_read[kind].get(0) or stand_in(kind) for kind in SINGLE}
    return records.Season(
        **single["season"],
        site=single["site"],
        **{BY_NAME[kind].attr: _listed(kind, records_read[kind]) for kind in LISTED},
        **{kind: records_read[kind][0] for kind in OPTIONAL if 0 in records_read[kind]},
    )


def _listed(kind: str, by_place: Mapping[int, Any]) -> Any:
    """The records of a kind as a season has them: by their ids, or in turn."""
    return _by_id(kind, by_place) if BY_NAME[kind].by_id else tuple(by_place.values())


def _by_id(kind: str, by_place: Mapping[int, Any]) -> dict[str, Any]:
    by_id = {record.id: record for record in by_place.values()}
    if kind == SPRAY and len(by_id) < len(by_place):
        # Of two with one id, which is a problem, both close their places.
        by_id |= {f"{record.id} {i + 1}": record for i, record in by_place.items()}
    return by_id


# Tables whose problems may follow from records of these kinds that do not read.
_FOLLOWS: Mapping[str, tuple[str, ...]] = {"crew": ("chore", "task"), "heat": ("station",)}


def _problems_of_the_rest(data: Mapping[str, Any], whole: _Found) -> list[Problem]:
    """What does not hold among the records that read, where others do not; nothing that may follow from those others."""
    lost = {kind: _lost(kind, data.get(kind), whole[kind]) for kind in LISTED}
    if None in lost.values():
        return []
    missing = {kind for kind in SINGLE if not whole[kind]}
    names = {f'"{name}"' for ids in lost.values() for name in ids or ()}
    gone = {kind for kind, ids in lost.items() if ids} | {k for k in OPTIONAL if k in data and not whole[k]}
    kept = {kind: _first_of_each_id(of_kind) for kind, of_kind in whole.items()}
    season = _season(kept)
    return [
        Problem(_placed(problem.path, kept), problem.message)
        for check in CHECKS
        for problem in check(season)
        if not (missing and (problem.path[0] in SINGLE or problem.path[-1] == "target_h"))
        and gone.isdisjoint(_FOLLOWS.get(str(problem.path[0]), ()))
        and not any(name in problem.message for name in names)
    ]


def _lost(kind: str, given: Any, by_place: Mapping[int, Any]) -> list[str] | None:
    """The ids of the records of a kind that do not read, or the places of those without; None where they cannot be told."""
    if given is None:
        return []
    if not isinstance(given, list):
        return None
    records_lost = [record for i, record in enumerate(given) if i not in by_place]
    if not all(isinstance(record, dict) for record in records_lost):
        return None
    names = [record.get(identity_keys(kind)[0]) for record in records_lost]
    return names if all(isinstance(name, str) for name in names) else None


def _first_of_each_id(by_place: Mapping[int, Any]) -> dict[int, Any]:
    seen: set[Any] = set()
    kept = {}
    for i, record in by_place.items():
        name = getattr(record, "id", i)
        if name not in seen:
            kept[i] = record
            seen.add(name)
    return kept


def _placed(path: KeyPath, kept: _Found) -> KeyPath:
    """A path among the records that were kept, as it is among all of them."""
    if len(path) < 2 or path[0] not in LISTED or not isinstance(path[1], int):
        return path
    return (path[0], list(kept[str(path[0])])[path[1]], *path[2:])


def _with_newer_form(data: Mapping[str, Any], problems: Sequence[Problem]) -> tuple[Problem, ...]:
    """The problems, and before them why a newer form may have them."""
    return (newer(data), *problems) if problems and is_newer(data) else tuple(problems)


def read_starter(kind: str, rows: Sequence[Mapping[str, Any]]) -> dict[str, Any]:
    """Records of a kind by their ids, of the plain data of a starter list. Raises ValueError where one does not read."""
    problems: list[Problem] = []
    of_kind = _read_list(kind, list(rows), problems)
    if problems:
        raise ValueError(problems[0].message)
    return {record.id: record for record in of_kind.whole.values()}


def _check_top(data: Mapping[str, Any], problems: list[Problem]) -> None:
    version = data.get("format")
    if form_of(data) is None:
        what = "has no format" if version is None else f"has format {shown(version)}"
        right = f"write format = {FORMAT} at its top, which is what this program reads"
        problems.append(Problem(("format",), f"the file {what}; {right}"))
    for key, guess in unknown_tables(data):
        if guess:
            problems.append(Problem((key,), f"{shown(key)} is not a known table{guess}"))
    problems += record_problems(data)


def _read_table(kind: str, data: Mapping[str, Any], problems: list[Problem]) -> _Rows:
    """A table that stands once in a season, as its only record."""
    if kind in data:
        return _read_rows(kind, [((kind,), data[kind])], problems)
    if kind in SINGLE:
        needed = ", ".join(field.key for field in form_of_record(kind).required)
        problems.append(Problem((kind,), f"there is no [{kind}]; add it with {needed}"))
    return _Rows({}, {})


def _read_list(kind: str, given: Any, problems: list[Problem], known: _Records = _NOTHING_READ) -> _Rows:
    """The records of a kind. known: those that were read before."""
    if not isinstance(given, list):
        form = f"[[{kind}]], with double brackets"
        if kind in IN_RECORDS:
            form = f"{kind} = [ ... ] in [{RECORDS}], with one {{ id = ... }}, to a line"
        problems.append(Problem((kind,), f"{kind} must be written as {form}"))
        return _Rows({}, {})
    if not given:
        return _Rows({}, {})
    rows = _read_together(kind, given, known) or _read_rows(
        kind, [((kind, i), table) for i, table in enumerate(given)], problems, known
    )
    if BY_NAME[kind].identity == BY_ID and len({record.id for record in rows.whole.values()}) < len(
        rows.whole
    ):
        problems += _same_ids(kind, rows.whole)
    return rows


def _same_ids(kind: str, by_place: Mapping[int, Any]) -> Iterator[Problem]:
    seen: set[str] = set()
    for i, record in by_place.items():
        if record.id in seen:
            right = f'id "{record.id}" is used by two {kind} records; give one another id'
            yield Problem((kind, i, "id"), right)
        seen.add(record.id)


def _read_together(kind: str, given: list[Any], known: _Records) -> _Rows | None:
    """The records of a kind where those not read before are many and all read; else None."""
    fresh = [table for table in given if id(table) not in known] if known else given
    records_read = read_many(form_of_record(kind), fresh)
    if records_read is None:
        return None
    if known:
        following = iter(records_read)
        records_read = [known[id(table)] if id(table) in known else next(following) for table in given]
    return _Rows(dict(enumerate(records_read)), {})


def _read_rows(
    kind: str, tables: Sequence[tuple[KeyPath, Any]], problems: list[Problem], known: _Records = _NOTHING_READ
) -> _Rows:
    rows = _Rows({}, {})
    form = form_of_record(kind)
    for i, (path, table) in enumerate(tables):
        before = len(problems)
        record = known[id(table)] if id(table) in known else read_record(form, path, table, problems)
        if len(problems) == before:
            rows.whole[i] = record
        elif record is not None:
            rows.parts[i] = record
    return rows


def zone_of(data: Mapping[str, Any]) -> str:
    """The site's time zone, or UTC where the data, not checked, have no known one."""
    return read_season({key: data[key] for key in ("format", "site") if key in data}).readable.site.timezone
