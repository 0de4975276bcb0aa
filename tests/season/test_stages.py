"""The one table of stages: what it says of their order, and that all that shows stages is made from it."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from dataclasses import replace
from datetime import date, timedelta
from itertools import pairwise
from pathlib import Path

import pytest

import calendar_tui
from calendar_tui.handing_on.calendar.events import dates as calendar_dates
from calendar_tui.handing_on.paper.wall import wall_page
from calendar_tui.handing_on.tables.date_and_task_rows import STAGE_COLUMNS
from calendar_tui.handing_on.tables.json_rows import dates_rows
from calendar_tui.handing_on.words.plain_text import stage_lines
from calendar_tui.handing_on.words.why_text import why_text
from calendar_tui.planning.changes.slips import record_date
from calendar_tui.planning.laying_out.timeline import Timeline
from calendar_tui.planning.plan import make_plan
from calendar_tui.planning.why.phases import PHASES
from calendar_tui.screens.kit.canvas import Canvas, text_of
from calendar_tui.screens.kit.glyphs import UNICODE
from calendar_tui.screens.kit.window import Window
from calendar_tui.screens.pages.help_view import help_rows
from calendar_tui.screens.season.bands import draw_band
from calendar_tui.screens.season.legend import legend_rows
from calendar_tui.season.checks import stage_problem
from calendar_tui.season.stages import (
    AFTER,
    BEFORE,
    BY_NAME,
    CODES,
    CUTTING,
    FIRST,
    RANKED,
    SEED,
    STAGES,
    TABLE,
    stages_for,
)
from calendar_tui.season.wording import stage_text
from tests.planning.farm import CHAINS, TODAY, farm

EVERY = pytest.mark.parametrize("stage", STAGES)
PLAN = make_plan(farm(), TODAY)
PACKAGE = Path(calendar_tui.__file__).parent
# A room that works something out for certain stages names them; nothing there is a list of stages to be kept in step.
NAMING = {
    "season/stages.py": "the table",
    "planning/evidence/figures.py": "which figure of a variety each of five records shows",
    "planning/laying_out/timeline.py": "what does not come where a seed does not come up",
    "planning/response/outcomes.py": "the fields of an outcome that have a range",
    "planning/why/heat.py": "which heat each of three stages waits for",
    "handing_on/folder/course_tables.py": "what another dictionary calls stages",
    "handing_on/tables/stagger_rows.py": "the columns of a proposed cohort",
    "commands/starting.py": "the dates of a first cohort",
    "planning/starting/typed_lines.py": "what a date stands behind in the line of a cohort",
}


def _cohort_with(stage: str) -> Timeline:
    return next(timeline for timeline in PLAN.timelines.values() if stage in timeline.stages)


def test_the_order_of_stages_is_that_of_plants_and_lamps() -> None:
    pairs = {(earlier, later) for chain in CHAINS for n, later in enumerate(chain) for earlier in chain[:n]}
    assert {(earlier, later) for later in STAGES for earlier in BEFORE[later]} == pairs
    assert {(earlier, later) for earlier in STAGES for later in AFTER[earlier]} == pairs


def test_a_row_stands_below_those_it_comes_after_and_rests_on_stages_that_are_there() -> None:
    for stage in TABLE:
        above = STAGES[: STAGES.index(stage.name)]
        assert set(stage.after) <= set(above), stage.name
        assert {*stage.rests_on, *filter(None, (stage.days_after,))} <= set(STAGES) - {stage.name}, stage.name
    assert {stage.begins for stage in TABLE} - {"", None, "growing"} <= set(PHASES)


def test_names_letters_and_ranks_are_each_ones_own() -> None:
    for values in (STAGES, [s.letter for s in TABLE], [s.rank for s in TABLE]):
        assert len(set(values)) == len(TABLE)
    assert all(len(stage.letter) == 1 and stage.letter.islower() for stage in TABLE)
    assert all(BY_NAME[one].rank < BY_NAME[two].rank for one, two in pairwise(RANKED))
    assert all(stage.past for stage in TABLE)


def test_a_cohort_has_the_stages_of_its_start() -> None:
    assert {start: names[0] for start, names in FIRST.items()} == {SEED: "seeding", CUTTING: "sticking"}
    assert "transplant" in stages_for(SEED, True)
    assert "transplant" not in stages_for(SEED, False)
    assert set(stages_for(SEED, True)) | set(stages_for(CUTTING, True)) == set(STAGES)
    assert not {"sticking", "rooted"} & set(stages_for(SEED, True))
    assert not {"seeding", "emergence"} & set(stages_for(CUTTING, True))


def _with_only(stage: str) -> Timeline:
    """A timeline with that stage, and the first one, which every timeline has."""
    timeline = _cohort_with(stage)
    return replace(timeline, stages={s: timeline.stages[s] for s in (timeline.cohort.first_stage, stage)})


@EVERY
def test_every_stage_is_drawn_on_the_chart(stage: str) -> None:
    alone = _with_only(stage)
    canvas = Canvas(300, 1)
    draw_band(canvas, 0, PLAN, alone, Window(date(2026, 9, 1), 300, 300), UNICODE)
    letters = set(text_of(canvas.rows()[0])) & {
        letter for s in TABLE for letter in (s.letter, s.letter.upper())
    }
    assert {letter.lower() for letter in letters} == {BY_NAME[name].letter for name in alone.stages}


@EVERY
def test_every_stage_is_in_both_legends_and_on_the_wall(stage: str) -> None:
    shown = f"{BY_NAME[stage].letter} {stage_text(stage)}"
    assert shown in "\n".join(text_of(row) for row in legend_rows(200, UNICODE, 9))
    assert shown in " ".join("".join(s.text for s in row.segments) for row in help_rows(UNICODE, 400))
    assert shown in wall_page(PLAN).decode()


@EVERY
def test_every_stage_has_its_letter_on_the_wall(stage: str) -> None:
    alone = _with_only(stage)
    page = wall_page(replace(PLAN, timelines={alone.cohort.id: alone})).decode()
    letters = {BY_NAME[stage].letter, BY_NAME[stage].letter.upper()}
    assert any(f">{letter}</text>" in page for letter in letters)


@EVERY
def test_every_stage_can_be_recorded(stage: str) -> None:
    timeline = _cohort_with(stage)
    cohort = timeline.cohort
    day = max([TODAY, *cohort.recorded.values()])
    assert stage_problem(PLAN.season, cohort, "recorded", stage) == ""
    later = replace(PLAN.season, cohorts={cohort.id: replace(cohort, recorded={})})
    plan = make_plan(later, date(2027, 6, 30))
    proposal = record_date(plan, later.cohorts[cohort.id], stage, day + timedelta(days=30))
    assert proposal.plan.season.cohorts[cohort.id].recorded == {stage: day + timedelta(days=30)}


@EVERY
def test_every_stage_is_exported_and_explained(stage: str) -> None:
    timeline = _cohort_with(stage)
    assert stage in {row["stage"] for row in dates_rows([timeline])}
    assert {*STAGE_COLUMNS} <= dates_rows([timeline])[0].keys()
    assert stage in {event.key[2] for event in calendar_dates(PLAN)}
    assert any(stage_text(stage) in line for line in why_text(PLAN, timeline.cohort.id, stage))


def _lists_of_stages(file: Path) -> Iterator[int]:
    """The lines on which three or more stages are listed by hand."""
    text = file.read_text(encoding="utf-8")
    if sum(text.count(f'"{stage}"') for stage in BY_NAME) < 3:
        return
    for node in ast.walk(ast.parse(text)):
        match node:
            case ast.Tuple(elts=parts) | ast.List(elts=parts) | ast.Set(elts=parts) | ast.Dict(keys=parts):
                named = [p for part in parts for p in (part.elts if isinstance(part, ast.Tuple) else [part])]
                if sum(isinstance(p, ast.Constant) and p.value in BY_NAME for p in named) > 2:
                    yield node.lineno


def test_nothing_lists_stages_beside_the_table() -> None:
    lists = {
        file.relative_to(PACKAGE).as_posix(): lines
        for file in sorted(PACKAGE.rglob("*.py"))
        if (lines := list(_lists_of_stages(file)))
    }
    assert {file: lines for file, lines in lists.items() if file not in NAMING} == {}
    assert set(NAMING) == set(lists), "an exception that is none any more"


# Codes of Mediavilla et al. 1998 (J. Int. Hemp Assoc. 5(2):65) that stand in the paper's text on practical use: nitrogen at
# emergence (0002) and at the third leaf pair (1006); essential oil one to three weeks before seed maturity (2203).
def test_codes_are_those_that_the_paper_names_for_the_same_stage() -> None:
    assert CODES["emergence"] == "0002"
    assert CODES["harvest"] == "2203"
    assert CODES["transplant"].replace("xx", "06") == "1006"


def test_codes_rise_with_the_stages_and_cuttings_have_none_before_they_grow() -> None:
    firsts = [int(code.replace("xx", "02")[:4]) for code in CODES.values() if code]
    assert firsts == sorted(firsts)
    assert [name for name, code in CODES.items() if not code] == ["sticking", "rooted", "dried"]


def test_the_page_has_the_code_of_every_stage() -> None:
    page = (Path(__file__).parents[2] / "docs/handing-on.md").read_text(encoding="utf-8")
    rows = re.findall(
        r"^\| ([a-z ]+) \| ([0-9x-]*) ?\| ", page.split("## Growth-stage codes")[1], re.MULTILINE
    )
    assert dict(rows) == {stage_text(name): code for name, code in CODES.items()}


@EVERY
def test_text_and_tables_have_the_code_beside_the_stage(stage: str) -> None:
    timeline = _cohort_with(stage)
    (row,) = [row for row in dates_rows([timeline]) if row["stage"] == stage]
    assert row["code"] == (CODES[stage] or None)
    assert f"  {stage_text(stage):<11} {CODES[stage]:<9} " in stage_lines(timeline.stages[stage])[0]
    narrow = " ".join(" ".join(stage_lines(timeline.stages[stage], 40)).split())
    assert f"; code {CODES[stage]}" in narrow or not CODES[stage]
