"""What a crew is shown of the four examples, in Spanish: no sentence of the program is left in English.

What a person wrote, names, ids and citations stay; the words below are of sentences alone, and none is Spanish.
"""

from __future__ import annotations

import html
import re
import shutil
from pathlib import Path

import pytest
from small_season import run

from tests.season_data import data_of

SEASONS = Path(__file__).parents[2] / "seasons"
DAYS = {
    "north-bench": "2026-06-16",
    "two-rivers": "2026-12-08",
    "laguna-alta": "2026-08-03",
    "bright-weir": "2026-06-10",
}
ENGLISH = re.compile(
    r"\b(the|is|are|of|and|from|until|with|not|be|to|for|its|it|off|days?|nights?|before|after|at|was|which|this|that|"
    r"harvest|lamps|flowering|plants|record(?:ed)?|weeks?|tasks?|only|due|since|today|under|cut|bags?|caution|overdue)\b"
)
# Texts of a record that a person wrote, by key.
OWN = (
    "name",
    "note",
    "fact",
    "product",
    "condition",
    "who",
    "what",
    "asks",
    "caution",
    "citation",
    "target",
    "active",
)


@pytest.fixture(params=DAYS)
def example(request: pytest.FixtureRequest, tmp_path: Path) -> tuple[Path, str]:
    """A copy of an example and its day, for which its files are at hand."""
    for file in SEASONS.glob(f"{request.param}*"):
        shutil.copy(file, tmp_path)
    return tmp_path / f"{request.param}.toml", DAYS[request.param]


def _own_texts(data: object, key: str = "") -> set[str]:
    """What people wrote in a season, as it is shown with its days and figures in Spanish or not."""
    if isinstance(data, dict):
        return set().union(*(_own_texts(value, name) for name, value in data.items()))
    if isinstance(data, list):
        return set().union(*(_own_texts(value, key) for value in data))
    return {data} if isinstance(data, str) and key in OWN and " " in data else set()


def _left(text: str, season: Path) -> list[str]:
    """The lines with English words beside what people wrote."""
    own = sorted(_own_texts(data_of(season.read_text(encoding="utf-8"))), key=len, reverse=True)
    whole = re.sub(r"\s+", " ", text.replace("\n", " ¶ ").replace(" ¶  ", " "))
    for one in own:
        whole = whole.replace(one, "")
    return [line for line in whole.split("¶") if ENGLISH.search(line)]


@pytest.mark.parametrize("command", [("week",), ("week", "--print"), ("week", "--brief"), ("today",)])
def test_no_line_of_a_command_is_in_english(example: tuple[Path, str], command: tuple[str, ...]) -> None:
    season, day = example
    words = (
        command[0],
        season,
        *command[1:],
        "--lang",
        "es",
        *(() if "--brief" in command else ("--width", "400")),
    )
    shown = run(*words, today=day)
    assert shown.status == 0, shown.said
    assert shown.out != run(*words[:-4], today=day).out
    assert not _left(shown.out, season)


def _page_text(page: str) -> str:
    without_style = re.sub(r"<style>.*?</style>", "", page, flags=re.DOTALL)
    return html.unescape(re.sub(r"<[^>]+>", "\n", without_style))


@pytest.mark.parametrize("flag", ["--sheet", "--wall"])
def test_no_line_of_a_page_is_in_english(example: tuple[Path, str], flag: str, tmp_path: Path) -> None:
    season, day = example
    target = tmp_path / "page.html"
    assert run("export", season, flag, target, "--lang", "es", today=day).status == 0
    page = target.read_text(encoding="utf-8")
    assert '<html lang="es">' in page
    assert not _left(_page_text(page), season)


def test_no_line_of_a_calendar_is_in_english(example: tuple[Path, str], tmp_path: Path) -> None:
    season, day = example
    target = tmp_path / "crew.ics"
    assert run("export", season, "--calendar", target, "--lang", "es", today=day).status == 0
    text = target.read_text(encoding="utf-8").replace("\n ", "")
    lines = re.findall(r"^(?:SUMMARY|DESCRIPTION):(.*)$", text, re.MULTILINE)
    told = "\n".join(lines).replace("\\n", "\n").replace("\\,", ",").replace("\\;", ";")
    assert "TRANSPARENT" in text, "what programs read stays as RFC 5545 has it"
    assert not _left(told, season)
