"""A newcomer in an empty folder, on a real terminal: from the first key to a season of one's own."""

from __future__ import annotations

import signal
from pathlib import Path

import pytest
from on_terminal import OnTerminal
from season_on_disk import TEXT

from tests.season_data import data_of

TODAY = ("--today", "2026-12-08")


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))  # nothing was opened before
    return tmp_path


def answer(terminal: OnTerminal, sees: str, line: str) -> None:
    terminal.see(sees)
    terminal.press(f"{line}\r")


@pytest.mark.slow
def test_a_season_is_made_on_the_first_screen_and_opened(folder: Path) -> None:
    with OnTerminal(*TODAY) as terminal:
        answer(terminal, "Make a season of your own", "")
        answer(terminal, "What the season is called", "Hill Farm")
        answer(terminal, "As a GPS or a map shows it", "44.5 N 123.2 W")
        answer(terminal, "America/Los_Angeles", "")
        answer(terminal, "before the first seeding", "1 mar")
        answer(terminal, "after the last crop is dried", "15 dec")
        answer(terminal, "Name, kind", "H1 hoop house 180 m2 lamps 16 h")
        answer(terminal, "hoop house, 180 m2, lamps 16 h", "")
        answer(terminal, "Types:", "amber")
        answer(terminal, "type oil-unknown", "")
        answer(terminal, "May be left out", "")
        answer(terminal, "Enter makes it", "")
        terminal.see("Tue 8 Dec 2026")
        terminal.press("q")
        status, _ = terminal.ended()
    assert status == 0
    data = data_of((folder / "hill-farm.toml").read_text())
    assert (data["season"]["name"], [v["id"] for v in data["variety"]]) == ("Hill Farm", ["amber"])


@pytest.mark.slow
def test_next_years_season_is_made_of_one_of_several_and_opened(folder: Path) -> None:
    for name in ("a", "b"):
        (folder / f"{name}.toml").write_text(TEXT.replace("Two Rivers", f"Farm {name}"), encoding="utf-8")
    with OnTerminal(*TODAY) as terminal:
        terminal.see("n next year")
        terminal.press("n")
        terminal.see("Nothing is written yet.")
        terminal.press("y")
        terminal.see("Farm a 2027-28")
        terminal.see("Tue 8 Dec 2026")
        terminal.press("q")
        status, _ = terminal.ended()
    assert status == 0
    made = data_of((folder / "farm-a-2027-28.toml").read_text())
    assert made["season"]["name"] == "Farm a 2027-28"
    assert sorted(path.name for path in folder.glob("*.toml")) == ["a.toml", "b.toml", "farm-a-2027-28.toml"]


@pytest.mark.slow
def test_a_form_that_is_left_by_ctrl_q_leaves_the_command_that_goes_on(folder: Path) -> None:
    with OnTerminal(*TODAY) as terminal:
        answer(terminal, "Make a season of your own", "")
        answer(terminal, "What the season is called", "Hill Farm")
        terminal.see("As a GPS or a map shows it")
        terminal.press("\x11")
        status, said = terminal.ended()
    assert status == 0
    assert "calendar-tui new hill-farm.toml --name='Hill Farm'" in said


def test_ctrl_c_in_the_questions_says_what_is_not_saved(folder: Path) -> None:
    with OnTerminal("new", "hill.toml", *TODAY) as terminal:
        answer(terminal, "Name of the season", "Hill")
        answer(terminal, "Position", "44.5 N 123.2 W")
        terminal.see("Enter takes America/Los_Angeles")
        # Again and again: one that comes just before the read begins is only noticed after it.
        terminal.kill_until(signal.SIGINT, b"is not made")
        status, said = terminal.ended()
    # The last of them may come when it is told already, and ends the program at once.
    assert status in (130, -signal.SIGINT)
    assert "hill.toml is not made; what you answered is not saved. To go on from there:" in said
    assert "calendar-tui new hill.toml --name=Hill --latitude=44.5 --longitude=-123.2" in said
    assert not (folder / "hill.toml").exists()


@pytest.mark.slow
def test_a_form_that_is_ended_from_outside_puts_the_terminal_back_and_is_not_lost(folder: Path) -> None:
    with OnTerminal(*TODAY) as terminal:
        answer(terminal, "Make a season of your own", "")
        answer(terminal, "What the season is called", "Hill Farm")
        terminal.see("As a GPS or a map shows it")
        terminal.kill(signal.SIGTERM)
        status, said = terminal.ended()
    assert status == 128 + signal.SIGTERM
    assert terminal.sent.rindex(b"\x1b[?1049l") > terminal.sent.rindex(b"\x1b[?1049h")
    assert "calendar-tui new hill-farm.toml --name='Hill Farm'" in said
