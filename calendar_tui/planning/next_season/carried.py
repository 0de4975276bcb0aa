"""Which records of a season the next one has too, and the edits that make them its own."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, NamedTuple

from calendar_tui.planning.next_season.dates import is_date, last_on, moved, years_on
from calendar_tui.season.edits import Data, Edit
from calendar_tui.season.fields import FIELDS
from calendar_tui.season.kinds import BY_NAME, KINDS, Kind, identity
from calendar_tui.season.stages import FIRST
from calendar_tui.season.trials import DATE

# Kinds of which nothing is carried over: what comes in hundreds, which is of one season, nights without lamps, proposals.
_ONCE = ("outage", "draft")
# Of what a cohort has for itself alone, this is what is meant for the next one too; all else happened to it.
_MEANT = ("planned", "harvest_by")
# Keys that speak of the season that was, by kind.
LEFT_KEYS: Mapping[str, tuple[str, ...]] = {
    "season": ("example_today",),
    "cohort": tuple(key for key in BY_NAME["cohort"].own if key not in _MEANT),
    "lot": ("flowering_ends",),
    "chore": ("since",),
    "sampling": ("tagged",),
    "stock": ("seeds", "cuttings", "media_l", "bags", "labels"),
    "trial": ("note",),
}
# Dates of rules are those of the rules, and days read off a thermometer are a year of record: neither is of one season.
_UNMOVED = ("profile", "thermometer")
# Last days of a period that another may follow on the next day.
_LAST_DAYS = (("programme", "to"),)


def is_left(kind: Kind) -> bool:
    """Whether the next season has none of the records of a kind."""
    return (kind.in_records and kind.name not in _UNMOVED) or kind.name in _ONCE


def records_of(data: Mapping[str, Any], kind: Kind) -> list[Mapping[str, Any]]:
    """The records of a kind as the data have them; the one table of a kind that stands once."""
    held = data.get(kind.name, [])
    return list(held) if isinstance(held, list) else [held]


def ident_of(kind: Kind, record: Mapping[str, Any]) -> tuple[Any, ...]:
    return identity(kind.name, record) if kind.identity else ()


class Filled(NamedTuple):
    """A stage that a cohort had no planned date for, and from which table its date is planned now."""

    cohort: str
    stage: str
    table: str


def carried_edits(data: Data, years: int) -> Iterator[Edit]:
    """The edits that take out what is left behind and move the dates of what is carried over. data: of the newest form."""
    for kind in KINDS:
        records = records_of(data, kind)
        # A record that is told by its date is renamed: the latest first, so that none comes to stand on another.
        for record in sorted(records, key=_begin, reverse=True) if kind.identity else records:
            if is_left(kind):
                yield Edit("remove", kind.name, ident_of(kind, record))
            else:
                yield from _record_edits(kind, record, years)


def _begin(record: Mapping[str, Any]) -> str:
    return str(record.get("from", ""))


def _record_edits(kind: Kind, record: Mapping[str, Any], years: int) -> Iterator[Edit]:
    ident, gone = ident_of(kind, record), LEFT_KEYS.get(kind.name, ())
    yield from (Edit("unset", kind.name, ident, (key,)) for key in gone if key in record)
    known = {field.key for field in FIELDS[kind.name]} - set(gone)
    changed = {
        key: new
        for key, value in record.items()
        if key in known and (new := _moved_key(kind.name, key, value, years)) != value
    }
    if kind.name == "cohort":
        changed |= _with_filled(record, years)
    # What a record is told by comes last, for until then it has its old name.
    for key in sorted(changed, key=lambda key: key in kind.identity):
        yield Edit("set", kind.name, ident, (key,), changed[key])


def _moved_key(kind: str, key: str, value: Any, years: int) -> Any:
    if kind in _UNMOVED:
        return value
    if (kind, key) in _LAST_DAYS and is_date(value):
        return last_on(value, years)
    if (kind, key) == ("trial", "factors"):
        return {name: _levels(name, levels, years) for name, levels in value.items()}
    return moved(value, years)


def _levels(factor: str, levels: list[str], years: int) -> list[str]:
    """Dates of planting are levels in quotes."""
    from calendar_tui.season.trials import level_date

    return [years_on(level_date(level), years).isoformat() for level in levels] if factor == DATE else levels


# --- dates that are planned because they happened


def filled_stages(cohort: Mapping[str, Any]) -> list[Filled]:
    """The stages that a cohort needs a planned date for and had none: its start, transplant and lights off."""
    planned = cohort.get("planned", {})
    wanted = (FIRST[cohort["start"]][0], "transplant", "lights_off")
    missing = [stage for stage in wanted if stage not in planned]
    tables = ("replanned", "recorded")
    return [
        Filled(cohort["id"], stage, table)
        for stage in missing
        for table in [next((t for t in tables if stage in cohort.get(t, {})), "")]
        if table
    ]


def _with_filled(cohort: Mapping[str, Any], years: int) -> dict[str, Any]:
    filled = filled_stages(cohort)
    if not filled:
        return {}
    more = {one.stage: cohort[one.table][one.stage] for one in filled}
    return {"planned": moved({**cohort.get("planned", {}), **more}, years)}
