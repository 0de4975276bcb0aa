"""What a crew is shown of the four examples: no sentence of the program is left in English.

All that the Spanish catalogue has is shown in letters that English has not (tests/language/other_letters.py); words in English letters
are then what a person wrote, names and ids, and what `STAYS` has. That the Spanish one has every text is tested in tests/language.
"""

from __future__ import annotations

import html
import re
import shutil
from collections.abc import Mapping
from pathlib import Path

import pytest
from small_season import run

from calendar_tui.commands import crew_language
from calendar_tui.language.po import entries
from calendar_tui.storage.languages import SHIPPED
from tests.language.other_letters import other_letters
from tests.season_data import data_of

SEASONS = Path(__file__).parents[2] / "seasons"
DAYS = {
    "north-bench": "2026-06-16",
    "two-rivers": "2026-12-08",
    "laguna-alta": "2026-08-03",
    "bright-weir": "2026-06-10",
}
CATALOGUE = (SHIPPED / "es.po").read_text(encoding="utf-8")
MESSAGES = {entry.text for entry in entries(CATALOGUE)}
OTHER_LETTERS = other_letters(CATALOGUE)
# Texts of a record that a person wrote, and names that a person gave, by key; without those that are the catalogue's.
OWN = (
    *(
        "id",
        "name",
        "note",
        "fact",
        "product",
        "condition",
        "who",
        "target",
        "active",
        "lot",
        "part",
        "variety",
    ),
    *("laboratory", "value", "report", "source", "registration", "timezone", "what", "asks", "caution"),
)
# What is the same in every language, and why.
STAYS: Mapping[str, str] = {
    r"calendar-tui [a-z-]+( [a-z-]+\b)?( [A-Z]+ [a-z]+ \w+)?": "a command, to be copied",
    r"\b(COHORT|DATE|TEXT|CHORE|TASK|AGENT)\b": "stands for a name in a command",
    r"--[a-z]+": "a flag",
    r"\b[0-9A-Z]{2,3}(-[0-9A-Z]{3}\b|-?[0-9A-Z]*(?:…|\.\.\.))": "the id of a bag, cut short at the end of a line or not",
    r"\b(flowering-share|stand|height|width|fresh|dry-flower)\b(?= ?[(:])": "the ids of variables, as they are typed",
    r"\b(THC|THCA|CBD|CBDA)\b": "substances, as laboratories write them",
    r"\b(kg|cm|mm|kWh|kW|min)\b": "units of the SI, and minutes",
    r"\b(CFR|CV|EPA|NEC|IEC|ISO|RFC)\b": "names of rules and standards",
    r"\S+\.(toml|html|csv)\b": "a file",
}


@pytest.fixture(params=DAYS)
def example(request: pytest.FixtureRequest, tmp_path: Path) -> tuple[Path, str]:
    """A copy of an example and its day, for which its files are at hand."""
    for file in SEASONS.glob(f"{request.param}*"):
        shutil.copy(file, tmp_path)
    return tmp_path / f"{request.param}.toml", DAYS[request.param]


def _own_texts(data: object, key: str = "") -> set[str]:
    if isinstance(data, dict):
        return set().union(*(_own_texts(value, name) for name, value in data.items()))
    if isinstance(data, list):
        return set().union(*(_own_texts(value, key) for value in data))
    return {data} if isinstance(data, str) and key in OWN else set()


def _left(text: str, season: Path) -> list[str]:
    """The lines with words in English letters beside what people wrote and what stays."""
    own = _own_texts(data_of(season.read_text(encoding="utf-8"))) - MESSAGES
    names = "|".join(map(re.escape, sorted(own, key=len, reverse=True)))
    whole = re.sub(r"\s+", " ", text.replace("\n", " ¶ ").replace(" ¶  ", " "))
    left = re.sub("|".join((*STAYS, rf"(?<![\w-])(?:{names})(?![\w-])")), "", whole)
    return [line for line in left.split("¶") if re.search(r"[A-Za-z]{2}", line)]


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
    assert _left(shown.out, season) == []


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


@pytest.mark.parametrize("page", PAGES)
def test_no_line_of_a_page_is_in_english(example: tuple[Path, str], page: str, tmp_path: Path) -> None:
    season, day = example
    if season.stem not in {"door": CLOSED, "trays": IN_TRAYS}.get(page, DAYS):
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
    assert _left(_page_text(text), season) == []


@pytest.mark.quick(1)
def test_no_line_of_a_calendar_is_in_english(example: tuple[Path, str], tmp_path: Path) -> None:
    season, day = example
    target = tmp_path / "crew.ics"
    assert run("export", season, "--calendar", target, today=day).status == 0
    text = target.read_text(encoding="utf-8").replace("\n ", "")
    lines = re.findall(r"^(?:SUMMARY|DESCRIPTION):(.*)$", text, re.MULTILINE)
    told = "\n".join(lines).replace("\\n", "\n").replace("\\,", ",").replace("\\;", ";")
    assert "TRANSPARENT" in text, "what programs read stays as RFC 5545 has it"
    assert _left(told, season) == []
