"""The files of an open folder: the tables as CSV, and their description by Data Package 2.0 (datapackage.org, read)."""

from __future__ import annotations

import hashlib
import json
import uuid
from collections.abc import Collection, Iterable, Iterator, Mapping
from typing import Any

from calendar_tui import __version__
from calendar_tui.handing_on.folder.columns import Column, Row, Table, cell
from calendar_tui.handing_on.folder.course_tables import EVENTS, TASKS, WEATHER
from calendar_tui.handing_on.folder.crop_tables import COHORTS, FIGURES, PLACES, SITE, VARIETIES
from calendar_tui.handing_on.folder.result_tables import AMOUNTS, BATCHES, PASSES, RESULTS, SAMPLES, WEIGHTS
from calendar_tui.handing_on.folder.trial_tables import (
    LEVELS,
    OBSERVATIONS,
    PLOTS,
    TREATMENTS,
    TRIALS,
    VARIABLES,
)
from calendar_tui.handing_on.tables.csv_text import csv_text
from calendar_tui.handing_on.tables.json_text import json_text
from calendar_tui.handing_on.words.openness import LICENCES, Openness, people_of, years_text
from calendar_tui.planning.plan import Plan
from calendar_tui.season.harmless import harmless

DESCRIPTION = "datapackage.json"
_PROFILE = "https://datapackage.org/profiles/2.0/datapackage.json"
_ONTOLOGY = "http://purl.org/ppeo/PPEO.owl#"
_WRITER = "calendar-tui"
TABLES = (
    *(SITE, PLACES, VARIETIES, FIGURES, COHORTS),
    *(TRIALS, TREATMENTS, LEVELS, PLOTS, VARIABLES, OBSERVATIONS),
    *(SAMPLES, RESULTS, AMOUNTS, BATCHES, PASSES, WEIGHTS),
    *(EVENTS, WEATHER, TASKS),
)


def folder_files(plan: Plan, openness: Openness) -> dict[str, bytes]:
    """The files of the folder by their names: of the same season, day and wishes the same bytes. Weather only where a station is named."""
    tables = [one for one in TABLES if one is not WEATHER or plan.season.station is not None]
    rows = {one.name: list(one.rows(plan, openness)) for one in TABLES}
    keys = {one.name: {row[one.key[0]] for row in rows[one.name]} for one in TABLES}
    contents = {
        _file(one): _csv(one, [_shown(one, row, keys, openness) for row in rows[one.name]]) for one in tables
    }
    return {**contents, DESCRIPTION: _description(plan, openness, tables, contents)}


def listed(description: bytes) -> Mapping[str, str] | None:
    """The hash of each file beside a description that this program wrote; None of any other."""
    try:
        described = json.loads(description)
        if described["writtenBy"] != _WRITER:
            return None
        return {str(one["path"]): str(one["hash"]) for one in described["resources"]}
    except (ValueError, KeyError, TypeError):
        return None


def hash_of(content: bytes) -> str:
    """As a description has it."""
    return f"sha256:{hashlib.sha256(content).hexdigest()}"


def _file(table: Table) -> str:
    return f"{table.name}.csv"


def _shown(table: Table, row: Row, keys: Mapping[str, Collection[str]], openness: Openness) -> Row:
    """A row without what was not asked for, and without names of rows that are not there."""
    left_out = {
        one.name
        for one in table.columns
        if (one.personal and not openness.names) or (one.refers and row.get(one.name) not in keys[one.refers])
    }
    return {name: value for name, value in row.items() if name not in left_out}


def _csv(table: Table, rows: Iterable[Row]) -> bytes:
    names = [column.name for column in table.columns]
    return csv_text([names, *([row.get(name, "") for name in names] for row in _cells(table, rows))]).encode()


def _cells(table: Table, rows: Iterable[Row]) -> Iterator[Mapping[str, str]]:
    words = {column.name for column in table.columns if column.type == "string"}
    for row in rows:
        yield {name: _harmless(cell(value)) if name in words else cell(value) for name, value in row.items()}


def _harmless(text: str) -> str:
    """A text that no spreadsheet works out. Signs and figures alone, such as "-0.5" or "++", stay as they were written."""
    return harmless(text) if any(c.isalpha() or c == "=" for c in text) else text


# --- the description


def _description(plan: Plan, openness: Openness, tables: list[Table], contents: Mapping[str, bytes]) -> bytes:
    season, years = plan.season, years_text(plan.season)
    resources = [_resource(one, contents[_file(one)]) for one in tables]
    described: dict[str, Any] = {
        "$schema": _PROFILE,
        "name": f"hemp-season-{years}",
        "id": uuid.uuid5(uuid.NAMESPACE_URL, " ".join(one["hash"] for one in resources)).urn,
        "title": season.name if openness.place else f"A season of hemp, {years}",
        "description": _about(plan, openness),
        "version": f"{plan.today.year}.{plan.today.month}.{plan.today.day}",
        "created": f"{plan.today}T00:00:00Z",
        "keywords": ["hemp", "Cannabis sativa", "photoperiod", "field trial"],
        "writtenBy": _WRITER,
    }
    if openness.licence:
        title, path = LICENCES[openness.licence]
        described["licenses"] = [{"name": openness.licence, "title": title, "path": path}]
    if openness.names and (people := people_of(season)):
        described["contributors"] = [{"title": name, "roles": ["data collection"]} for name in people]
    described["sources"] = [{"title": f"the season file, by calendar-tui {__version__}"}]
    if season.station is not None:
        described["sources"].append({"title": "the daily file of the season's weather station"})
    return f"{json_text({**described, 'resources': resources})}\n".encode()


def _about(plan: Plan, openness: Openness) -> str:
    position = (
        "The position is as it was given."
        if openness.place
        else "The position is rounded to half a degree, and the names of season and places are left out."
    )
    people = "" if openness.names else " Persons, roles and free notes are left out."
    return (
        f"One site and one season, as it stood on {plan.today}. {position}{people} Other words are as the grower wrote them; one that a "
        "spreadsheet would work out has an apostrophe in front. Names of MIAPPE 1.2 and of the ICASA dictionary stand beside "
        "our own, as miappe and icasa. Dates are ISO 8601. An empty cell is not known, and never zero."
    )


def _resource(table: Table, content: bytes) -> dict[str, Any]:
    return {
        "name": table.name,
        "type": "table",
        "title": table.title,
        "description": table.means,
        "path": _file(table),
        "format": "csv",
        "mediatype": "text/csv",
        "encoding": "utf-8",
        "bytes": len(content),
        "hash": hash_of(content),
        "schema": {
            "fields": [_field(column, table) for column in table.columns],
            "primaryKey": list(table.key),
            **_references(table),
            "missingValues": [""],
        },
    }


def _field(column: Column, table: Table) -> dict[str, Any]:
    means = column.means or (f"of the table {column.refers}" if column.refers else column.name)
    standards = [
        f"{name}: {word}" for name, word in (("MIAPPE 1.2", column.miappe), ("ICASA", column.icasa)) if word
    ]
    described: dict[str, Any] = {
        "name": column.name,
        "type": column.type,
        "description": ". ".join((f"{means} ({column.unit})" if column.unit else means, *standards)),
    }
    optional = {
        "unit": column.unit,
        "miappe": column.miappe,
        "icasa": column.icasa.partition(",")[0],
        "rdfType": f"{_ONTOLOGY}{column.rdf}" if column.rdf else "",
        "categories": list(column.categories),
    }
    described |= {name: value for name, value in optional.items() if value}
    constraints: dict[str, Any] = {"required": True} if column.needed else {}
    if table.key == (column.name,):
        constraints["unique"] = True
    if column.categories:
        constraints["enum"] = list(column.categories)
    return described | ({"constraints": constraints} if constraints else {})


def _references(table: Table) -> dict[str, Any]:
    keys = {one.name: one.key for one in TABLES}
    found = [
        {
            "fields": [column.name],
            "reference": {"resource": column.refers, "fields": list(keys[column.refers])},
        }
        for column in table.columns
        if column.refers
    ]
    return {"foreignKeys": found} if found else {}
