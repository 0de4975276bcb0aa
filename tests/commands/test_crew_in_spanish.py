"""What a crew is shown of the four examples: no sentence of the program is left in English."""

from __future__ import annotations

import html
import re
import shutil
from pathlib import Path

import pytest
from left_in_english import OTHER_LETTERS, left_in_english
from small_season import run

from calendar_tui.commands import crew_language
from tests.example_days import EXAMPLE_DAYS

SEASONS = Path(__file__).parents[2] / "seasons"


@pytest.fixture(params=EXAMPLE_DAYS)
def example(request: pytest.FixtureRequest, tmp_path: Path) -> tuple[Path, str]:
    """A copy of an example and its day, for which its files are at hand."""
    for file in SEASONS.glob(f"{request.param}*"):
        shutil.copy(file, tmp_path)
    return tmp_path / f"{request.param}.toml", EXAMPLE_DAYS[request.param].isoformat()


@pytest.fixture(autouse=True)
def _in_other_letters(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(crew_language, "crew_language", lambda args, season: OTHER_LETTERS)


@pytest.mark.quick(8)
@pytest.mark.parametrize(
    "command",
    [("week",), ("week", "--print"), ("week", "--brief"), ("today",), ("decide",), ("field-book",)],
    ids=" ".join,
)
def test_no_line_of_a_command_is_in_english(example: tuple[Path, str], command: tuple[str, ...]) -> None:
    season, day = example
    wide = () if command[-1] in ("--brief", "field-book") else ("--width", "400")
    shown = run(command[0], season, *command[1:], *wide, today=day)
    assert (shown.status, shown.err) == (0, ""), shown.said
    assert left_in_english(shown.out, season) == []


def _page_text(page: str) -> str:
    without_style = re.sub(r"<style>.*?</style>", "", page, flags=re.DOTALL)
    return html.unescape(re.sub(r"<[^>]+>", "\n", without_style))


# Of the examples, where something is closed, and where a cohort stands in trays.
CLOSED = IN_TRAYS = ("north-bench", "two-rivers", "laguna-alta")
PAGES = {
    "sheet": ("export", "--sheet"),
    "sheet by the clock of 12 hours": ("export", "--sheet"),
    "wall": ("export", "--wall"),
    "door": ("export", "--door"),
    "trays": ("labels", "--trays", "--output"),
}


@pytest.mark.quick(10)
@pytest.mark.parametrize("page", PAGES)
def test_no_line_of_a_page_is_in_english(example: tuple[Path, str], page: str, tmp_path: Path) -> None:
    season, day = example
    if season.stem not in {"door": CLOSED, "trays": IN_TRAYS}.get(page, EXAMPLE_DAYS):
        pytest.skip("nothing to print")
    if "12" in page:
        assert run("settings", "clock", "12").status == 0
    target = tmp_path / "page.html"
    command, *flags = PAGES[page]
    ran = run(command, season, *flags, target, today=day)
    run("settings", "clock", "--unset")
    assert ran.status == 0, ran.said
    text = target.read_text(encoding="utf-8")
    assert '<html lang="zz">' in text
    assert left_in_english(_page_text(text), season) == []


@pytest.mark.quick(1)
@pytest.mark.parametrize("example", ["two-rivers"], indirect=True)
def test_no_line_of_labels_of_bags_and_their_custody_is_in_english(
    example: tuple[Path, str], tmp_path: Path
) -> None:
    season, day = example
    labels, custody = tmp_path / "labels.html", tmp_path / "custody.html"
    words = ("labels", season, "HKQ-AZR", "--output", labels, "--custody", custody)
    assert run(*words, today=day).status == 0
    for page in (labels, custody):
        assert left_in_english(_page_text(page.read_text(encoding="utf-8")), season) == []


@pytest.mark.parametrize("example", ["north-bench"], indirect=True)
def test_no_line_of_a_stake_is_in_english(example: tuple[Path, str], tmp_path: Path) -> None:
    season, day = example
    target = tmp_path / "stakes.html"
    assert run("labels", season, "--stakes", "S1", "--output", target, today=day).status == 0
    assert left_in_english(_page_text(target.read_text(encoding="utf-8")), season) == []


@pytest.mark.parametrize("example", ["north-bench"], indirect=True)
def test_no_line_of_a_sheet_of_the_field_book_is_in_english(
    example: tuple[Path, str], tmp_path: Path
) -> None:
    season, day = example
    target = tmp_path / "sheet.html"
    assert run("field-book", season, "S1", "--html", target, today=day).status == 0
    assert left_in_english(_page_text(target.read_text(encoding="utf-8")), season) == []


def test_no_line_of_a_calendar_is_in_english(example: tuple[Path, str], tmp_path: Path) -> None:
    season, day = example
    target = tmp_path / "crew.ics"
    assert run("export", season, "--calendar", target, today=day).status == 0
    text = target.read_text(encoding="utf-8").replace("\n ", "")
    lines = re.findall(r"^(?:SUMMARY|DESCRIPTION):(.*)$", text, re.MULTILINE)
    told = "\n".join(lines).replace("\\n", "\n").replace("\\,", ",").replace("\\;", ";")
    assert "TRANSPARENT" in text, "what programs read stays as RFC 5545 has it"
    assert left_in_english(told, season) == []
