"""A first look: the full screen with no season named, and the seasons that come with the program."""

from __future__ import annotations

import gc
import re
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
from calendar_tui.screens.kit.preferences import Preferences
from calendar_tui.screens.starting.choice import Chosen, Start
from calendar_tui.season.reading import read_season
from calendar_tui.storage.finding import example_files
from calendar_tui.storage.opening import Opened as SeasonRead

NAMES = ["bright-weir", "laguna-alta", "north-bench", "two-rivers"]


class Opened(NamedTuple):
    path: Path
    today: date
    notice: str
    day_at_site: Callable[[str], date] | None
    first_message: str = ""


@pytest.fixture
def offered() -> list[Start]:
    """What the first screen was given."""
    return []


@pytest.fixture
def person(request: pytest.FixtureRequest) -> Callable[[Start], Chosen | None]:
    """What is done on the first screen: the offer of this number is taken, as the test is marked; 0 without a mark."""
    mark = request.node.get_closest_marker("takes")
    take = 0 if mark is None else mark.args[0]
    return (
        take if callable(take) else lambda start: Chosen(start.offers[take].path, start.offers[take].example)
    )


@pytest.fixture
def screen(
    monkeypatch: pytest.MonkeyPatch, offered: list[Start], person: Callable[[Start], Chosen | None]
) -> list[Opened]:
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
        first_message: str,
        **_left: object,
    ) -> int:
        assert past is None
        opened.append(Opened(read.path, today, notice, day_at_site, first_message))
        return 0

    def choose(start: Start, preferences: Preferences, *, ascii_only: bool) -> tuple[Chosen | None, int]:
        offered.append(start)
        chosen = person(start)
        return chosen and chosen._replace(theme="light"), 0

    start = ModuleType("calendar_tui.screens.start")
    start.run = show  # type: ignore[attr-defined]
    start.first = choose  # type: ignore[attr-defined]
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


@pytest.mark.slow
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
    empty: Path, screen: list[Opened], offered: list[Start]
) -> None:
    ran = run(today=None)
    assert ran.status == 0, ran.said
    assert [(o.name, o.about, o.example) for o in offered[0].offers] == [
        ("Two Rivers 2026-27", "34.3 S, 11 cohorts, hoop house, field, lamps, drying", True),
        ("Bright Weir 2025-26", "37.8 S, 8 cohorts, field, hoop house, lamps, trial, drying", True),
        ("Laguna Alta 2026", "19.1 N, 7 cohorts, hoop house, lamps, drying", True),
        ("North Bench 2026", "44.2 N, 7 cohorts, greenhouse, field, lamps, trial, drying", True),
    ]
    (opened,) = screen
    original = next(p for p in example_files() if p.stem == "two-rivers")
    assert opened.path.name == "two-rivers.toml"
    assert not opened.path.samefile(original)
    assert opened.path.read_bytes() == original.read_bytes()
    assert opened.notice == "example copy, today set to Tue 8 Dec 2026"
    assert opened.today == date(2026, 12, 8)
    assert list(empty.iterdir()) == []


def test_todays_flag_stands_before_the_examples_day(empty: Path, screen: list[Opened]) -> None:
    run(today="2026-09-01")
    assert screen[0].today == date(2026, 9, 1)
    assert "8 Dec" not in screen[0].notice


def _left(start: Start) -> None:
    start.typed.update(
        {"name": "Hill & Dale", "position": "44.5 N 123.2 W", "first_day": "soon", "place 1": "F1 field"}
    )


@pytest.mark.takes.with_args(lambda start: None)
def test_the_first_screen_left_opens_nothing(empty: Path, screen: list[Opened]) -> None:
    ran = run(today=None)
    assert (ran.status, ran.said, screen) == (0, "", [])


@pytest.mark.takes.with_args(_left)
def test_a_form_that_is_left_is_not_lost_but_told_as_the_command_that_goes_on(
    empty: Path, screen: list[Opened]
) -> None:
    ran = run(today="2026-12-08")
    assert (ran.status, screen, list(empty.iterdir())) == (0, [], [])
    assert ran.err == (
        "hill-dale.toml is not made; what you answered is not saved. To go on from there:\n"
        "  calendar-tui new hill-dale.toml --name='Hill & Dale' --latitude=44.5 --longitude=-123.2 --place='F1 field'\n"
    )


def _made(start: Start) -> Chosen:
    site = {"latitude": 44.5, "longitude": -123.2, "timezone": "America/Los_Angeles"}
    days = {"first_day": date(2027, 3, 1), "last_day": date(2027, 12, 15)}
    records = {"place": [{"id": "F1", "kind": "field"}]}
    for wrong, why in (
        ("", "a season needs a file"),
        ("mine", "write mine.toml"),
        ("notes.toml", "is there already"),
    ):
        with pytest.raises(ValueError, match=why):
            start.make(wrong, {})
    return start.make("mine.toml", {"name": "Hill", **site, **days, "records": records})


@pytest.mark.takes.with_args(_made)
def test_a_season_made_on_the_first_screen_is_opened(empty: Path, screen: list[Opened]) -> None:
    (empty / "notes.toml").write_text("a = 1")
    ran = run(today="2026-12-08")
    assert (ran.status, ran.said) == (0, "")
    assert tomllib.loads((empty / "mine.toml").read_text())["season"]["name"] == "Hill"
    assert screen == [Opened(Path("mine.toml"), date(2026, 12, 8), "set by hand", None)]


def _made_late(start: Start) -> Chosen:
    """On 8 December, of a crop that was sown in October."""
    site = {"latitude": -34.3, "longitude": -56.7, "timezone": "America/Montevideo"}
    days = {"first_day": date(2026, 9, 15), "last_day": date(2027, 5, 31)}
    cohort = {
        "id": "A1",
        "variety": "amber",
        "start": "seed",
        "place": "F1",
        "planned": {"seeding": date(2026, 10, 5)},
    }
    variety = {"id": "amber", "response": "short-day", "type": "oil-unknown"}
    records = {"place": [{"id": "F1", "kind": "field"}], "variety": [variety], "cohort": [cohort]}
    return start.make("late.toml", {"name": "Hill", **site, **days, "records": records})


@pytest.mark.takes.with_args(_made_late)
def test_the_work_that_a_season_made_on_screen_leaves_out_is_told_once_it_opens(
    empty: Path, screen: list[Opened]
) -> None:
    assert run(today="2026-12-08").status == 0
    assert re.fullmatch(
        r"[1-9]\d+ tasks due before today are left out\. To add them, delete the line since = 2026-12-08 from the file\.",
        screen[0].first_message,
    )


def test_a_season_of_ones_own_is_opened_as_it_is(
    season: Path, monkeypatch: pytest.MonkeyPatch, screen: list[Opened]
) -> None:
    monkeypatch.chdir(season.parent)
    assert run().status == 0
    assert run(season).status == 0
    assert [o.path.resolve() for o in screen] == [season, season]
    assert screen[0] == Opened(screen[0].path, date(2026, 11, 9), "set by hand", None)


@pytest.mark.takes(1)
def test_several_seasons_of_ones_own_are_offered(
    season: Path, monkeypatch: pytest.MonkeyPatch, screen: list[Opened], offered: list[Start]
) -> None:
    (season.parent / "other.toml").write_text(PLAIN)
    (season.parent / "wrong.toml").write_text("[season]\nname = 1")
    monkeypatch.chdir(season.parent)
    assert run().status == 0
    assert [(o.path.name, o.about) for o in offered[0].offers if not o.example] == [
        ("near-fields.toml", "near-fields.toml, 34.3 S, 3 cohorts, hoop house, field, lamps"),
        ("other.toml", "other.toml, 34.3 S, 3 cohorts, hoop house, field, lamps"),
        ("wrong.toml", "has problems: 5"),
    ]
    assert screen[0].path.name == "other.toml"


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
    run(today=None)  # an example, on a day within it
    assert [one.day_at_site for one in screen] == [command_input.day_at_site, None, None, None]
