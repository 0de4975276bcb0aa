"""The one table of kinds of record: each is read, edited and merged by its row, and nothing lists kinds beside it."""

from __future__ import annotations

import ast
import dataclasses
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

import calendar_tui
from calendar_tui.season.edits import Edit, apply_edits
from calendar_tui.season.fields import FIELDS, NAMED
from calendar_tui.season.kinds import BY_NAME, KINDS, LISTED, OPTIONAL, RECORDS, SINGLE, Kind, identity
from calendar_tui.season.merging import merge
from calendar_tui.season.reading import read_season
from calendar_tui.season.record_reading import form_of_record
from calendar_tui.season.records import Season
from calendar_tui.season.unread import unread

PACKAGE = Path(calendar_tui.__file__).parent
EVERY = pytest.mark.parametrize("kind", KINDS, ids=[kind.name for kind in KINDS])
EVERY_LISTED = pytest.mark.parametrize("kind", LISTED)
# Rooms in which names that kinds have are columns, keys or words of something else. Screens name views and keys, of
# which many are called after a kind, so they are not looked at.
NAMING = {
    "commands/change_table.py": "the names of commands",
    "commands/crop_table.py": "the names of commands",
    "handing_on/folder/course_tables.py": "words for the events of a season",
    "handing_on/tables/cut_rows.py": "columns",
    "handing_on/tables/drying_rows.py": "columns",
    "handing_on/tables/result_rows.py": "columns",
    "handing_on/tables/rules_rows.py": "columns",
    "handing_on/tables/sample_rows.py": "columns",
    "planning/changes/bags.py": "the keys of a bag",
    "planning/changes/record_notes.py": "the kinds whose dates are of what happened",
    "planning/changes/record_proposal.py": "the kinds whose change may put bags on other days",
    "planning/changes/record_questions.py": "the kinds of which something is asked before a save",
    "planning/next_season/carried.py": "the keys of each kind that speak of the season that was",
    "planning/next_season/left_behind.py": "words for what is left behind",
    "planning/spreadsheets/task_table.py": "columns",
    "planning/trials/drawing.py": "the keys of a plot",
    "planning/deciding/decision.py": "what is decided",
    "commands/new_season.py": "what a new season is asked for",
    "planning/starting/typed_lines.py": "what a new season is asked for",
    "season/field_names.py": "the names of keys, compared with the table of fields",
    "season/kind_words.py": "why some kinds are kept by commands of their own",
    "season/crop_checks.py": "names that may be unknown, or have a check of their own",
    "season/crop_fields.py": "the keys of each kind, compared with the table here",
    "season/fields.py": "the keys of each kind, compared with the table here",
    "season/weather_fields.py": "the keys of each kind, compared with the table here",
    "season/task_ids.py": "the keys of a task that tell what it is for",
    "storage/new_season.py": "what a new season is asked for",
    "planning/changes/task_moves.py": "the keys of a task as a table",
    "handing_on/calendar/events.py": "the properties of an event",
    "handing_on/tables/date_and_task_rows.py": "columns",
    "handing_on/tables/quantity_rows.py": "columns",
    "handing_on/tables/response_table.py": "columns",
    "handing_on/tables/type_rows.py": "columns",
    "handing_on/words/chores_text.py": "words for what a chore is done together",
}


def _record(kind: str) -> dict[str, Any]:
    return dict(zip(BY_NAME[kind].identity, ("Z1", "Z2", "Z3"), strict=False))


def test_a_season_has_each_kind_and_nothing_is_read_that_is_no_kind() -> None:
    names = [kind.name for kind in KINDS]
    assert len(set(names)) == len(names)
    assert names == [*SINGLE, *OPTIONAL, *LISTED]
    inner = {f.table for fields in FIELDS.values() for f in fields if f.table} - set(NAMED)
    assert set(FIELDS) == set(names) | inner


@EVERY
def test_every_kind_has_its_keys_its_record_and_its_place_in_the_season(kind: Kind) -> None:
    assert set(kind.identity) <= {field.key for field in FIELDS[kind.name]}
    if kind.record is None:
        assert form_of_record(kind.name).make is dict
        return
    attrs = {field.name for field in dataclasses.fields(form_of_record(kind.name).make)}
    assert {field.name for field in FIELDS[kind.name]} <= attrs
    assert (kind.attr or kind.name) in {field.name for field in dataclasses.fields(Season)}
    assert not kind.by_id or "id" in attrs


@EVERY
def test_every_kind_is_known_at_the_top_of_the_file(kind: Kind) -> None:
    wrong = read_season({"format": 3, kind.name: 7}).problems
    assert any(problem.path[0] == kind.name for problem in wrong)
    assert not any("not a known table" in problem.message for problem in wrong)
    assert not any(problem.path == (kind.name,) for problem in unread({"format": 3, kind.name: {}}))


@EVERY_LISTED
def test_every_kind_of_several_is_added_removed_and_merged_by_its_identity(kind: str) -> None:
    record = _record(kind)
    ident = identity(kind, record)
    added = apply_edits({}, [Edit("add", kind, ident, (), record)])
    assert added == {kind: [record]}
    assert apply_edits(added, [Edit("remove", kind, ident)]) == {}
    noted = {kind: [{**record, "x": 1}]}
    assert merge(added, added, noted, lambda task, taken: "").edits == (Edit("set", kind, ident, ("x",), 1),)


def _lists_of_kinds(file: Path) -> Iterator[int]:
    """The lines on which three or more kinds are listed by hand."""
    text = file.read_text(encoding="utf-8")
    if sum(f'"{kind}"' in text for kind in BY_NAME) < 3:
        return
    for node in ast.walk(ast.parse(text)):
        match node:
            case ast.Tuple(elts=parts) | ast.List(elts=parts) | ast.Set(elts=parts) | ast.Dict(keys=parts):
                named = [p for part in parts for p in (part.elts if isinstance(part, ast.Tuple) else [part])]
                if len({p.value for p in named if isinstance(p, ast.Constant) and p.value in BY_NAME}) > 2:
                    yield node.lineno


def test_nothing_lists_kinds_beside_the_table() -> None:
    lists = {
        file.relative_to(PACKAGE).as_posix(): lines
        for file in sorted(PACKAGE.rglob("*.py"))
        if file.relative_to(PACKAGE).parts[0] != "screens" and (lines := list(_lists_of_kinds(file)))
    }
    assert {file: lines for file, lines in lists.items() if file not in NAMING} == {}
    assert set(NAMING) == set(lists), "an exception that is none any more"


def test_the_table_of_lines_is_no_kind() -> None:
    assert RECORDS not in BY_NAME
