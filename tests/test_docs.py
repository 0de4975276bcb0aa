"""The pages say what the program does: every key, every default with its source, examples that read as they say."""

from __future__ import annotations

import dataclasses
import re
import subprocess
import tomllib
from collections.abc import Mapping
from datetime import date, timedelta
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from calendar_tui.nature.sky import CIVIL_DEG, SUNRISE_DEG, day_length_h
from calendar_tui.planning.plan import Plan, make_plan
from calendar_tui.season import records
from calendar_tui.season.field import REQUIRED, Field
from calendar_tui.season.fields import FIELDS, MARKS, NAMED
from calendar_tui.season.kinds import IN_RECORDS
from calendar_tui.season.marks import DEFAULT_MARKS
from calendar_tui.season.readers import clock_hours
from calendar_tui.season.reading import FORMAT, read_season
from calendar_tui.season.record_reading import form_of_record
from calendar_tui.season.records import Span
from calendar_tui.season.stages import DECIDED, STAGES
from calendar_tui.season.wording import year_day_text
from calendar_tui.starter.variety_types import TYPES
from tests.season_data import data_of

ROOT = Path(__file__).parent.parent
DOCS = ROOT / "docs"
SEASON_PAGE = (DOCS / "season-file.md").read_text(encoding="utf-8")
DATES_PAGE = (DOCS / "how-dates-are-worked-out.md").read_text(encoding="utf-8")
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
RECORDS: Mapping[str, Any] = {kind: form_of_record(kind).make for kind in FIELDS} | {"season": records.Season}
Row = dict[str, str]


def _tables(page: str) -> dict[str, dict[str, Row]]:
    """The tables of a page by the heading above, each as rows by their first cell, code marks taken off."""
    found: dict[str, dict[str, Row]] = {}
    heading, columns = "", None
    for line in page.splitlines():
        if line.startswith("#"):
            heading, columns = re.sub(r"[`\[\]#]", "", line).strip(), None
        elif not line.startswith("|"):
            columns = None
        else:
            cells = [cell.strip() for cell in line.strip("|").split("|")]
            if columns is None:
                columns = cells
            elif not set(cells[0]) <= {"-", " "}:
                rows = found.setdefault(heading, {})
                assert cells[0] not in rows, f"{cells[0]} stands twice under {heading}"
                rows[cells[0].strip("`")] = dict(zip(columns, cells, strict=True))
    return found


SEASON_TABLES = _tables(SEASON_PAGE)
DATES_TABLES = _tables(DATES_PAGE)


def _table_of(kind: str) -> dict[str, Row]:
    inner = {"lamps": "lamps of a place", "columns": "columns of a station"}
    inner |= {listed: f"{listed} in {table}" for listed, (table, _) in IN_RECORDS.items()}
    return SEASON_TABLES[inner.get(kind, kind)]


def _default_of(kind: str, field: Field) -> Any:
    """The value a record has where the file leaves the key out; None for nothing."""
    if field.default is not None:
        return field.default
    default = {f.name: f.default for f in dataclasses.fields(RECORDS[kind])}[field.name]
    return None if default is dataclasses.MISSING else default


def _as_written(field: Field, value: Any) -> str:
    """A default as a person would write it in the file, in code marks."""
    if value is REQUIRED:
        return "required"
    if value is None or value in ("", ()):
        return "none"
    if isinstance(value, Span):
        figures = [_clock(n) if field.read is clock_hours else n for n in value]
        value = figures[0] if value.early == value.late else tuple(figures)
    return f"`{_toml(value)}`"


def _clock(hours: float) -> str:
    return f"{int(hours)}:{round(hours % 1 * 60):02d}"


def _toml(value: Any) -> str:
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, tuple):
        return f"[{', '.join(map(_toml, value))}]"
    return f'"{value}"' if isinstance(value, str) else f"{value:g}"


# --- the season file


@pytest.mark.parametrize("kind", FIELDS)
def test_every_key_stands_in_the_reference_with_its_unit_and_default(kind: str) -> None:
    table = _table_of(kind)
    assert list(table) == [field.key for field in FIELDS[kind]]
    for field in FIELDS[kind]:
        row = table[field.key]
        assert row["unit"] == field.unit, field.key
        assert row["default"] == _as_written(field, _default_of(kind, field)), field.key
        assert row["meaning"], field.key


def test_a_span_default_is_written_as_in_a_file() -> None:
    (field,) = (f for f in FIELDS["variety"] if f.key == "drying_d")
    assert _as_written(field, Span(7, 10, 14)) == "`[7, 10, 14]`"
    assert _as_written(field, Span(8, 8, 8)) == "`8`"


def test_every_stage_stands_in_the_reference_with_who_decides_it() -> None:
    table = SEASON_TABLES["Dates of a cohort"]
    assert tuple(table) == STAGES
    planned = tuple(stage for stage, row in table.items() if row["may be planned"] == "yes")
    assert planned == tuple(stage for stage in STAGES if stage in DECIDED)
    assert NAMED["dates"][1] == STAGES


def test_every_mark_stands_in_the_reference() -> None:
    assert tuple(SEASON_TABLES["marks of a variety"]) == MARKS


def test_every_word_that_a_key_allows_is_named() -> None:
    for kind, fields in FIELDS.items():
        for field in fields:
            for word in _allowed(field):
                meaning = _table_of(kind)[field.key]["meaning"]
                assert (
                    f"`{word}`" in meaning or "stage" in field.unit or field.key in ("mark", "hours_mark")
                ), (
                    kind,
                    field.key,
                )


def _allowed(field: Field) -> tuple[str, ...]:
    """The words a one-of or several-of reader takes, as its message lists them."""
    if field.read is None:
        return ()
    try:
        field.read([object()] if isinstance(field.default, tuple) else object())
    except ValueError as wrong:
        found = re.search(r"must be one of: (.*)$", str(wrong))
        return tuple(found[1].split(", ")) if found else ()
    return ()


def _example() -> dict[str, Any]:
    (text,) = re.findall(r"```toml\n(.*?)```", SEASON_PAGE, re.DOTALL)
    return data_of(text)


def test_the_example_reads_with_no_problems() -> None:
    reading = read_season(_example())
    assert reading.problems == ()
    assert reading.season is not None


def test_the_example_shows_every_table_and_the_format_of_this_program() -> None:
    data = _example()
    # A station needs a file beside the season, so the example has it and its heat in comments.
    assert set(data) == {"format", *FIELDS} - {"lamps", "heat", "station", "columns"}
    assert "# [heat]" in SEASON_PAGE
    assert "# [station]" in SEASON_PAGE
    assert data["format"] == FORMAT
    assert f"`format = {FORMAT}`" in SEASON_PAGE


def test_the_example_shows_all_three_kinds_of_dates_and_a_key_of_ones_own() -> None:
    data = _example()
    assert any({"planned", "replanned", "recorded"} <= cohort.keys() for cohort in data["cohort"])
    assert data["variety"][0].keys() - {field.key for field in FIELDS["variety"]}


# --- how dates are worked out


def test_every_default_figure_of_a_variety_has_its_value_a_mark_and_a_source() -> None:
    table = DATES_TABLES["The default figures"]
    figures = {f.key: f for f in FIELDS["variety"] if _default_of("variety", f) not in (None, (), REQUIRED)}
    figures = {key: f for key, f in figures.items() if f.table == ""}
    assert list(table) == list(figures)
    for key, field in figures.items():
        row = table[key]
        assert row["default"] == _as_written(field, _default_of("variety", field)), key
        marks = re.sub(r"\([^)]*\)", "", row["mark"]).replace(",", " ").split()
        assert marks, key
        assert set(marks) <= set(MARKS), key
        assert len(row["source"]) > 20, key
        assert tuple(marks) == DEFAULT_MARKS[key], key
    assert list(DEFAULT_MARKS) == list(figures)


def test_every_type_of_variety_stands_with_its_figures_and_source() -> None:
    table = DATES_TABLES["Types to start from"]
    short_day = {name: kind for name, kind in TYPES.items() if kind["response"] == "short-day"}
    assert list(table) == list(short_day)
    for name, kind in short_day.items():
        figures = [cell for key, cell in table[name].items() if key not in ("type", "source")]
        written = [f"`{_toml(tuple(value))}`" for value in kind.values() if isinstance(value, list)]
        assert figures == written
        assert table[name]["source"] == kind["source"]


def _example_plan() -> Plan:
    season = read_season(_example()).season
    assert season is not None
    return make_plan(season, date(2026, 11, 16))


def test_the_worked_example_is_what_the_program_works_out() -> None:
    table = DATES_TABLES["A worked example"]
    stages = _example_plan().timelines["A1"].stages
    assert list(table) == [stage.replace("_", " ") for stage in stages]
    for found in stages.values():
        row = table[found.stage.replace("_", " ")]
        shown = (row["status"], row["earliest"], row["likely"], row["latest"], row["reason"])
        dates = map(year_day_text, found.range)
        assert shown == (found.status, *dates, found.reason), found.stage


def _first_under_14_h(centre_deg: float) -> date:
    """The first date after midsummer 2026 with a day under 14 h at 35.8 N."""
    zone = ZoneInfo("America/New_York")
    days = (date(2026, 6, 21) + timedelta(days=n) for n in range(120))
    return next(day for day in days if day_length_h(35.8, -78.7, day, zone, centre_deg) < 14)


def test_the_day_setting_moves_the_14_h_date_as_the_page_says() -> None:
    assert "35.8 N the day falls under 14 h at the end of July" in DATES_PAGE
    assert date(2026, 7, 28) <= _first_under_14_h(SUNRISE_DEG) <= date(2026, 7, 31)
    assert date(2026, 8, 26) <= _first_under_14_h(CIVIL_DEG) <= date(2026, 8, 31)


def test_the_page_names_the_heights_of_the_sun_in_use() -> None:
    assert f"{-SUNRISE_DEG:g} degrees below the horizon" in DATES_PAGE
    assert f"at {-CIVIL_DEG:g} degrees below" in DATES_PAGE


# --- the other pages


def test_every_dependency_has_its_reason() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    extras = project["optional-dependencies"].values()
    wanted = [text for texts in (project["dependencies"], *extras) for text in texts]
    names = {re.match(r"[\w.-]+", text)[0] for text in wanted} - {project["name"]}
    rows = _tables(DEVELOPERS)["Why each dependency"]
    given = {name for cell in rows for name in cell.split(", ")}
    assert names <= given
    assert all(row["for"] for row in rows.values())


def test_every_record_and_stage_word_is_in_the_vocabulary() -> None:
    words = _tables((DOCS / "vocabulary.md").read_text(encoding="utf-8"))["Vocabulary"]
    plain = {"lamps": "asking for lamps"}
    assert {plain.get(kind, kind) for kind in FIELDS} <= set(words)
    for stage in STAGES:
        assert stage.replace("_", " ") in words["stage"]["means"]


def _anchors(page: str) -> set[str]:
    headings = re.findall(r"^#+ (.*)$", page, re.MULTILINE)
    return {re.sub(r"[^\w\- ]", "", heading.lower()).strip().replace(" ", "-") for heading in headings}


@pytest.mark.parametrize(
    "page", ["README.md", "DEVELOPERS.md", *(f"docs/{p.name}" for p in DOCS.glob("*.md"))]
)
def test_links_between_pages_lead_somewhere(page: str) -> None:
    file = ROOT / page
    for target in re.findall(r"\]\(([^)\s]+)\)", file.read_text(encoding="utf-8")):
        if re.match(r"[a-z]+:", target):
            continue
        path, _, anchor = target.partition("#")
        other = (file.parent / path) if path else file
        assert other.exists(), target
        if anchor:
            assert anchor in _anchors(other.read_text(encoding="utf-8")), target


def test_the_licence_named_for_the_package_is_there() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    for name in project["license-files"]:
        assert (ROOT / name).read_text(encoding="utf-8").startswith(f"{project['license']} License")


def test_the_readme_has_one_command_that_passes_the_tests() -> None:
    """The line that the whole check runs as it is written."""
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    found = re.search(r"passes the tests.*?\n\s*```\w*\n(.*?)\n\s*```", text, re.DOTALL)
    assert found, "README.md has no fenced block after 'passes the tests'"
    (line,) = found[1].strip().splitlines()
    assert "pytest" in line
    assert "[test]" in line


def test_the_first_page_is_short() -> None:
    assert len((ROOT / "README.md").read_text(encoding="utf-8").split()) < 900


def test_the_whole_check_is_a_sound_script() -> None:
    script = ROOT / ".ci" / "run"
    assert script.stat().st_mode & 0o111, "not executable"
    subprocess.run(["bash", "-n", str(script)], check=True, timeout=30)
