"""A first look: the full screen with no season named, and the seasons that come with the program."""

from __future__ import annotations

import gc
import sys
import tomllib
from collections.abc import Callable
from datetime import date
from pathlib import Path
from types import ModuleType
from typing import Any, NamedTuple

import pytest
from small_season import PLAIN, run

from calendar_tui.commands import command_input, examples, opening
from calendar_tui.season.reading import read_season
from calendar_tui.storage.finding import example_files
from calendar_tui.storage.opening import Opened as SeasonRead

NAMES = ["laguna-alta", "north-bench", "two-rivers"]


class Opened(NamedTuple):
    path: Path
    today: date
    notice: str
    day_at_site: Callable[[str], date] | None


@pytest.fixture
def screen(monkeypatch: pytest.MonkeyPatch) -> list[Opened]:
    """A terminal with a person, and a full screen that only notes what it was given."""
    opened: list[Opened] = []

    def show(
        read: SeasonRead,
        today: date,
        who: str,
        now: Callable[[], Any],
        *,
        day_at_site: Callable[[str], date] | None,
        notice: str,
        ascii_only: bool,
        past: object,
        date_order: str,
        **_left: object,
    ) -> int:
        assert past is None
        opened.append(Opened(read.path, today, notice, day_at_site))
        return 0

    start = ModuleType("calendar_tui.screens.start")
    start.run = show  # type: ignore[attr-defined]
    monkeypatch.setitem(sys.modules, "calendar_tui.screens.start", start)
    monkeypatch.setattr(opening, "at_terminal", lambda: True)
    monkeypatch.setattr(opening, "_moves_cursor", lambda kind: True)
    monkeypatch.setenv("TERM", "xterm")
    return opened


@pytest.fixture
def empty(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    folder = tmp_path / "empty"
    folder.mkdir()
    monkeypatch.chdir(folder)
    monkeypatch.setattr(examples.tempfile, "tempdir", str(tmp_path))
    return folder


def test_the_examples_are_there() -> None:
    assert [p.stem for p in example_files()] == NAMES


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("command", ["check", "dates", "week", "daylight", "load"])
def test_every_command_reads_every_example(name: str, command: str) -> None:
    path = next(p for p in example_files() if p.stem == name)
    before = path.read_bytes()
    ran = run(command, path, today="2026-11-09")
    assert ran.status == 0, ran.said
    assert ran.err == ""
    if command in ("dates", "week"):
        assert max(map(len, ran.out.splitlines())) <= 80
    if command == "check":
        assert ran.out.endswith("0 problems.\n")
    assert path.read_bytes() == before


def test_garbage_is_not_looked_for_while_a_season_is_opened_but_afterwards(
    empty: Path, screen: list[Opened], monkeypatch: pytest.MonkeyPatch
) -> None:
    looked_for: list[bool] = []
    monkeypatch.setattr(opening, "who", lambda: looked_for.append(gc.isenabled()) or "Ana")
    assert run(example_files()[0]).status == 0
    assert screen
    assert (looked_for, gc.isenabled()) == ([False], True)


def test_a_season_is_read_once_to_be_opened(
    empty: Path, screen: list[Opened], monkeypatch: pytest.MonkeyPatch
) -> None:
    times: list[object] = []

    def counted(data: dict[str, Any], *others: Any) -> Any:
        times.append(data)
        return read_season(data, *others)

    for module in ("calendar_tui.season.reading", "calendar_tui.storage.opening"):
        monkeypatch.setattr(f"{module}.read_season", counted)
    assert run(example_files()[0]).status == 0
    assert (len(screen), len(times)) == (1, 1)


def test_without_a_season_the_examples_are_offered_and_a_copy_is_opened(
    empty: Path, screen: list[Opened]
) -> None:
    ran = run(today=None, typed="1\n")
    assert ran.status == 0, ran.said
    for number, name in enumerate(
        ("Two Rivers 2026-27, 34.3 S, ", "North Bench", "Laguna Alta 2026, 19.1 N, "), 1
    ):
        assert f"  {number}  {name}" in ran.out
    assert "  n  a new season of your own\n" in ran.out
    (opened,) = screen
    original = next(p for p in example_files() if p.stem == "two-rivers")
    assert opened.path.name == "two-rivers.toml"
    assert not opened.path.samefile(original)
    assert opened.path.read_bytes() == original.read_bytes()
    assert "example copy, today set to " in opened.notice
    assert str(opened.today.year) in opened.notice
    assert list(empty.iterdir()) == []


@pytest.mark.parametrize("typed", ["\n", "1\n", " 1 \n"])
def test_enter_takes_the_first(empty: Path, screen: list[Opened], typed: str) -> None:
    assert run(today=None, typed=typed).status == 0
    assert screen[0].path.name == "two-rivers.toml"
    assert screen[0].today == date(2026, 12, 8)
    assert "Tue 8 Dec 2026" in screen[0].notice


def test_todays_flag_stands_before_the_examples_day(empty: Path, screen: list[Opened]) -> None:
    run(today="2026-09-01", typed="1\n")
    assert screen[0].today == date(2026, 9, 1)
    assert "8 Dec" not in screen[0].notice


@pytest.mark.parametrize("typed", ["9\n", "two\n", "0\n", "\x1b\n"])
def test_an_answer_that_is_none_of_them_is_told(empty: Path, screen: list[Opened], typed: str) -> None:
    ran = run(today=None, typed=typed)
    assert ran.status == 2
    assert "is none of these; type 1 to 3, or n for a new season" in ran.err
    assert "\x1b" not in ran.said
    assert screen == []


def test_no_answer_is_told(empty: Path, screen: list[Opened]) -> None:
    ran = run(today=None)
    assert ran.status == 2
    assert "no answer; name a season file" in ran.err
    assert screen == []


ANSWERS = "Hill\n34.3 S\n56.7 W\nAmerica/Montevideo\n2026-09-15\n2027-05-31\n"


@pytest.mark.parametrize("letter", ["n", "N"])
def test_n_makes_a_season_of_ones_own_and_opens_it(empty: Path, screen: list[Opened], letter: str) -> None:
    ran = run(today="2026-11-09", typed=f"{letter}\nmine.toml\n{ANSWERS}")
    assert ran.status == 0, ran.said
    assert "Which one (1-3, n for your own, Enter for 1)? " in ran.out
    assert "Made mine.toml with " in ran.out
    assert tomllib.loads((empty / "mine.toml").read_text())["season"]["name"] == "Hill"
    assert screen == [Opened(Path("mine.toml"), date(2026, 11, 9), "set by hand", None)]


def test_a_file_that_cannot_be_made_is_asked_again_before_the_season_is(
    empty: Path, screen: list[Opened]
) -> None:
    (empty / "notes.toml").write_text("a = 1")
    ran = run(today="2026-11-09", typed=f"n\n\nnotes.toml\nfarms/mine.toml\nmine\nmine.toml\n{ANSWERS}")
    assert ran.status == 0, ran.said
    assert ran.out.count("Name of its file, such as mine.toml: ") == 5
    assert (empty / "notes.toml").read_text() == "a = 1"
    assert screen[0].path == Path("mine.toml")


@pytest.mark.parametrize(
    ("typed", "right"),
    [
        ("n\n", "no answer; name a season file, or make one with: calendar-tui new FILE"),
        ("n\nmine.toml\nHill\n", "calendar-tui new mine.toml --name=Hill\n"),
    ],
)
def test_a_season_of_ones_own_without_all_answers_is_not_made(
    empty: Path, screen: list[Opened], typed: str, right: str
) -> None:
    ran = run(today=None, typed=typed)
    assert ran.status == 2
    assert right in ran.err
    assert (screen, list(empty.iterdir())) == ([], [])


def test_a_season_of_ones_own_is_opened_as_it_is(
    season: Path, monkeypatch: pytest.MonkeyPatch, screen: list[Opened]
) -> None:
    monkeypatch.chdir(season.parent)
    assert run().status == 0
    assert run(season).status == 0
    assert [o.path.resolve() for o in screen] == [season, season]
    assert screen[0] == (screen[0].path, date(2026, 11, 9), "set by hand", None)


def test_several_seasons_of_ones_own_are_named(
    season: Path, monkeypatch: pytest.MonkeyPatch, screen: list[Opened]
) -> None:
    (season.parent / "other.toml").write_text(PLAIN)
    monkeypatch.chdir(season.parent)
    ran = run()
    assert ran.status == 2
    assert "holds 2 seasons: near-fields.toml, other.toml; name one of them" in ran.err


def test_a_file_with_problems_is_opened_so_that_they_can_be_shown(season: Path, screen: list[Opened]) -> None:
    season.write_text(season.read_text().replace("America/Montevideo", "Mars/Olympus"))
    assert run(season).status == 0
    assert screen[0].path == season


def test_a_file_that_is_not_toml_is_opened_with_its_problem(season: Path, screen: list[Opened]) -> None:
    season.write_text("a b")
    assert run(season).status == 0
    assert screen[0].path == season


def test_a_file_that_is_not_toml_is_told_where_there_is_no_terminal(season: Path) -> None:
    season.write_text("a b")
    ran = run(season)
    assert ran.status == 2
    assert f"{season}:1: not TOML" in ran.err


def test_without_a_terminal_there_is_no_full_screen(season: Path, empty: Path) -> None:
    for words in ((), (season,)):
        ran = run(*words)
        assert ran.status == 2
        assert "the full screen needs a terminal; calendar-tui week and chart print plain text" in ran.err
    assert list(empty.iterdir()) == []


def test_a_command_after_its_season_is_told(season: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(season.parent)
    assert "not understood: week" in run(season, "week").err


def test_a_closed_stream_is_no_terminal(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "stdin", None)
    assert command_input.at_terminal() is False
    with pytest.raises(EOFError):
        command_input.ask("?")


def test_the_screen_is_handed_the_clock_but_where_today_is_set_by_hand(
    season: Path, empty: Path, screen: list[Opened], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.delenv(command_input.TODAY, raising=False)
    run(season, today=None)
    run(season, today="2026-11-09")
    monkeypatch.setenv(command_input.TODAY, "2026-11-09")
    run(season, today=None)
    monkeypatch.delenv(command_input.TODAY)
    run(today=None, typed="1\n")  # an example, on a day within it
    assert [one.day_at_site for one in screen] == [command_input.day_at_site, None, None, None]
