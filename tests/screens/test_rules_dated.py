"""Every view and page by rules has their date, and that they are to be checked with the authority."""

from __future__ import annotations

from datetime import UTC, date, datetime
from pathlib import Path

import pytest
from test_golden import EXAMPLES, strips_of, text_of

from calendar_tui.screens.app import CalendarApp
from calendar_tui.storage.opening import open_season
from tests.commands.small_season import run

TODAY = date(2026, 6, 16)
DATED = "United States, 7 CFR 990, as of 1 Jun 2026: check with your authority"
# The views that judge, close or wait by a rule profile: the keys that lead to each, and the size at which all of it is in sight.
SMALL = (80, 24)
VIEWS = {
    "today": (("t",), SMALL),
    "day to cut": (("C",), SMALL),
    "rules": (("C", "L"), SMALL),
    "results": (("i",), SMALL),
    "trend": (("R",), SMALL),
    "cohort": (("down", "down", "enter"), (80, 70)),
}
# What prints by them: a command's words, or a page that export writes.
COMMANDS = (
    ("decide",),
    ("today",),
    ("cut",),
    ("official",),
    ("result",),
    ("trend", "E1"),
    ("rules",),
    ("spray",),
    ("dates", "E1"),
    ("why", "E1", "harvest"),
)
PAGES = (("--trend", "html"), ("--door", "html"), ("--wall", "html"), ("--calendar", "ics"))


@pytest.mark.parametrize(("keys", "size"), VIEWS.values(), ids=VIEWS)
async def test_a_view_by_rules_has_their_date(
    tmp_path: Path, keys: tuple[str, ...], size: tuple[int, int]
) -> None:
    season = _copy(tmp_path)
    now = datetime(2026, 6, 16, 9, tzinfo=UTC)
    app = CalendarApp(open_season(season), TODAY, "Ana", lambda: now, ascii_only=False)
    assert DATED in _one_line(text_of(await strips_of(app, size, keys)))


@pytest.mark.parametrize("words", COMMANDS, ids=" ".join)
def test_a_command_that_prints_by_rules_has_their_date(tmp_path: Path, words: tuple[str, ...]) -> None:
    ran = run(words[0], _copy(tmp_path), *words[1:], today=str(TODAY))
    assert ran.status == 0, ran.err
    assert DATED in _one_line(ran.out)


@pytest.mark.parametrize(("flag", "ending"), PAGES, ids=lambda word: word)
def test_a_page_by_rules_has_their_date(tmp_path: Path, flag: str, ending: str) -> None:
    page = tmp_path / f"page.{ending}"
    ran = run("export", _copy(tmp_path), flag, page, "--yes", today=str(TODAY))
    assert ran.status == 0, ran.err
    # A calendar's lines are folded in the middle of words, and its commas escaped (RFC 5545, 3.1 and 3.3.11).
    text = page.read_text(encoding="utf-8").replace("\n ", "").replace("\\,", ",")
    assert DATED in _one_line(text)


def _copy(folder: Path) -> Path:
    season = folder / "season.toml"
    season.write_bytes(EXAMPLES["north-bench"].read_bytes())
    return season


def _one_line(text: str) -> str:
    return " ".join(text.split())
