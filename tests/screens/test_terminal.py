"""The full screen as a real process on a terminal: stopped and gone on with, ended from outside, hung up, refused."""

from __future__ import annotations

import asyncio
import base64
import inspect
import os
import re
import signal
import termios
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from threading import Event
from typing import Any

import pytest
from on_terminal import LIMIT_S, OnTerminal
from season_on_disk import TEXT, app_of
from settling import settled
from textual.driver import Driver
from textual.drivers.linux_driver import LinuxDriver

from calendar_tui.screens.kit.terminal import PRIVATE, Terminal
from calendar_tui.season.edits import Change, Edit
from calendar_tui.storage.disk.lock import locked
from calendar_tui.storage.season_file import save_change
from tests.season_data import data_of

TODAY = ("--today", "2026-12-08")
HEADING, LAST_KEY = "Tue 8 Dec 2026", "q quit"
# What puts a terminal back: out of the alternate screen, no mouse, the cursor shown.
PUT_BACK = (b"\x1b[?1049l", b"\x1b[?1000l", b"\x1b[?1003l", b"\x1b[?25h", b"\x1b[?2004l")
CTRL_Z = b"\x1a"


@pytest.fixture
def season(tmp_path: Path) -> Path:
    path = tmp_path / "two.toml"
    path.write_text(TEXT, encoding="utf-8")
    return path


def _assert_put_back(sent: bytes) -> None:
    for what in PUT_BACK:
        assert sent.rindex(what) > sent.rindex(what[:-1] + (b"h" if what.endswith(b"l") else b"l"))


def _whole(terminal: OnTerminal) -> None:
    """Wait for a whole picture: its first and its last line."""
    assert HEADING in terminal.see(LAST_KEY)


@contextmanager
def _saving(terminal: OnTerminal, season: Path) -> Iterator[None]:
    """Within this a tick waits to be saved: somebody else holds the season's lock."""
    _whole(terminal)
    terminal.press("w")
    terminal.see("hoe1 [ ]")
    with locked(season, "ben"):
        terminal.press(" ")
        terminal.see("hoe1 [x]")
        yield


@pytest.mark.parametrize("name", PRIVATE)
def test_textual_still_has_what_the_terminal_takes_over_of_it(name: str) -> None:
    source = "".join(inspect.getsource(cls) for cls in (LinuxDriver, Driver))
    assert re.search(rf"\b(self\.|def ){name}\b", source), (
        f"this version of Textual has no {name}: see screens/kit/terminal.py"
    )


def test_the_private_names_of_textual_are_all_listed() -> None:
    used = set(re.findall(r"\b(?:self|super\(\))\.(_\w+)", inspect.getsource(Terminal)))
    assert used - {"__init__", "_ending", "_stop", "_take_background", "_knows_more"} == set(PRIVATE)


@pytest.mark.slow
def test_the_background_is_asked_for_after_the_first_picture_and_the_answer_is_no_key(season: Path) -> None:
    with OnTerminal(season, *TODAY) as terminal:
        _whole(terminal)
        while b"\x1b]11;?\x1b\\" not in terminal.sent:
            assert terminal._read(time.monotonic() + LIMIT_S)
        assert terminal.sent.index(b"\x1b]11;?") > terminal.sent.index(b"quit")
        terminal.press(b"\x1b]11;rgb:ffff/ffff/ffff\x1b\\w")
        assert "Week of" in terminal.see("hoe1 [ ]")


@pytest.mark.slow
@pytest.mark.parametrize("env", [{"NO_COLOR": "1"}, {"TERM": "linux"}], ids=str)
def test_the_background_is_not_asked_for_where_it_makes_no_difference_or_is_not_known(
    season: Path, env: dict[str, str | None]
) -> None:
    with OnTerminal(season, *TODAY, env=env) as terminal:
        _whole(terminal)
        terminal.press("w")
        terminal.see("hoe1 [ ]")
        assert b"]11;?" not in terminal.sent


@pytest.mark.slow
@pytest.mark.parametrize("mouse", [True, False])
def test_the_mouse_is_asked_for_but_with_no_mouse(season: Path, mouse: bool) -> None:
    with OnTerminal(season, *TODAY, *([] if mouse else ["--no-mouse"])) as terminal:
        _whole(terminal)
        assert (b"\x1b[?1000h" in terminal.sent) == mouse
        terminal.press("q")
        assert terminal.ended()[0] == 0


@pytest.mark.slow
def test_what_is_copied_is_handed_to_the_terminal(season: Path) -> None:
    with OnTerminal(season, *TODAY) as terminal:
        _whole(terminal)
        terminal.press("Y")
        terminal.see("Copied")
        (sent,) = re.findall(rb"\x1b\]52;c;([^\a\x1b]*)", terminal.sent)
        assert base64.b64decode(sent).decode().startswith("A1  amber, 10 plants from seed, H2\n")


@pytest.mark.slow
@pytest.mark.parametrize(("number", "status"), [(signal.SIGTERM, 143), (signal.SIGHUP, 129)])
def test_told_to_end_it_puts_the_terminal_back(season: Path, number: int, status: int) -> None:
    with OnTerminal(season, *TODAY) as terminal:
        _whole(terminal)
        terminal.kill(number)
        ended, shown = terminal.ended()
        assert ended == status
        assert "Traceback" not in shown
        _assert_put_back(terminal.sent)
        assert termios.tcgetattr(terminal.fd) == terminal.modes


CRASH = """
import sys
from calendar_tui.cli import main
from calendar_tui.screens.season.view import SeasonView

def zoom(view, by):
    raise RuntimeError("a fault of the program")

SeasonView.action_zoom = zoom
sys.exit(main(sys.argv[1:]))
"""


@pytest.mark.slow
def test_a_fault_of_the_program_puts_the_terminal_back_and_is_told_below(season: Path) -> None:
    before = season.read_bytes()
    with OnTerminal(season, *TODAY, code=CRASH) as terminal:
        _whole(terminal)
        terminal.press("+")
        status, text = terminal.ended()
        assert status == 1
        assert termios.tcgetattr(terminal.fd)[:6] == terminal.modes[:6]
        _assert_put_back(terminal.sent)
        assert text.rindex("a fault of the program") > text.rindex(LAST_KEY)
    assert season.read_bytes() == before


@pytest.mark.slow
def test_on_a_console_the_cursor_is_in_sight_and_keeps_its_shape(season: Path) -> None:
    with OnTerminal(season, *TODAY, env={"TERM": "linux"}) as terminal:
        _whole(terminal)
        assert terminal.sent.rindex(b"\x1b[?25h") > terminal.sent.rindex(b"\x1b[?25l")
        assert not re.search(rb"\x1b\[\d q", terminal.sent)


@pytest.mark.slow
def test_the_cursor_is_a_line_in_sight_and_gets_its_shape_back(season: Path) -> None:
    with OnTerminal(season, *TODAY) as terminal:
        _whole(terminal)
        assert terminal.sent.rindex(b"\x1b[?25h") > terminal.sent.rindex(b"\x1b[?25l")
        terminal.press("q")
        assert terminal.ended()[0] == 0
        assert terminal.sent.rindex(b"\x1b[0 q") > terminal.sent.rindex(b"\x1b[4 q")


@pytest.mark.slow
def test_told_to_end_it_finishes_the_save_that_runs(season: Path) -> None:
    with OnTerminal(season, *TODAY) as terminal:
        with _saving(terminal, season):
            terminal.kill(signal.SIGTERM)
        assert terminal.ended()[0] == 143
        _assert_put_back(terminal.sent)
    assert data_of(season.read_text())["task"][0]["state"] == "done"


@pytest.mark.slow
def test_told_to_end_twice_it_waits_for_nothing(season: Path) -> None:
    with OnTerminal(season, *TODAY) as terminal:
        with _saving(terminal, season):
            terminal.kill_until(signal.SIGTERM, PUT_BACK[0])
        assert terminal.ended()[0] == 143


@pytest.mark.slow
def test_a_connection_that_breaks_ends_it(season: Path) -> None:
    with OnTerminal(season, *TODAY) as terminal:
        _whole(terminal)
        terminal.close()
        assert terminal.ended()[0] == 129


@pytest.mark.slow
@pytest.mark.parametrize("way", ["key", "signal"])
def test_stopped_it_gives_the_terminal_back_and_gone_on_with_it_draws_all_again(
    season: Path, way: str
) -> None:
    with OnTerminal(season, *TODAY) as terminal:
        _whole(terminal)
        if way == "key":
            terminal.press(CTRL_Z)
        else:
            terminal.kill(signal.SIGTSTP)
        _assert_put_back(terminal.stopped())
        assert termios.tcgetattr(terminal.fd) == terminal.modes
        terminal.kill(signal.SIGCONT)
        _whole(terminal)
        terminal.press("w")
        terminal.see("hoe1 [ ]")
        terminal.press("q")
        assert terminal.ended()[0] == 0
        _assert_put_back(terminal.sent)
        assert termios.tcgetattr(terminal.fd) == terminal.modes


@pytest.mark.slow
def test_stopped_by_force_it_draws_all_again_too_and_leaves_the_terminal_as_it_was(season: Path) -> None:
    with OnTerminal(season, *TODAY) as terminal:
        _whole(terminal)
        terminal.kill(signal.SIGSTOP)
        terminal.stopped()
        terminal.kill(signal.SIGCONT)
        _whole(terminal)
        terminal.press("q")
        assert terminal.ended()[0] == 0
        _assert_put_back(terminal.sent)
        assert termios.tcgetattr(terminal.fd) == terminal.modes


@pytest.mark.slow
def test_a_stop_waits_for_the_save_that_runs_so_that_nobody_waits_for_its_lock(season: Path) -> None:
    with OnTerminal(season, *TODAY) as terminal:
        with _saving(terminal, season):
            terminal.press(CTRL_Z)
        terminal.stopped()
        assert data_of(season.read_text())["task"][0]["state"] == "done"
        with locked(season, "ben", 0):
            pass


async def test_what_waits_for_saves_begins_after_the_last_of_them(
    season: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    held, done = Event(), list[str]()

    def save_held(*args: Any, **how: Any) -> Any:
        held.wait()
        done.append("saved")
        return save_change(*args, **how)

    monkeypatch.setattr("calendar_tui.storage.season_file.save_change", save_held)
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        for plants in (11, 12):
            app.save(Change("x", (Edit("set", "cohort", ("A1",), ("plants",), plants),)))
        stop = asyncio.create_task(app.after_saves(lambda: done.append("stopped")))
        await pilot.pause()
        before = tuple(done)
        held.set()
        await stop
    assert before == ()
    assert done == ["saved", "saved", "stopped"]


@pytest.mark.parametrize(
    ("kind", "why"),
    [
        ("dumb", "TERM=dumb does not"),
        ("unknown", "TERM=unknown does not"),
        (None, "TERM is not set"),
        ("", "TERM is not set"),
    ],
)
def test_a_terminal_without_cursor_movement_is_refused_with_what_to_do(
    season: Path, kind: str | None, why: str
) -> None:
    with OnTerminal(season, *TODAY, env={"TERM": kind}) as terminal:
        status, shown = terminal.ended()
        assert status == 2
        assert why in shown
        assert "calendar-tui week and chart print plain text" in shown
        assert b"\x1b" not in terminal.sent


@pytest.mark.slow
def test_a_terminal_that_the_system_does_not_know_is_used(season: Path) -> None:
    with OnTerminal(season, *TODAY, env={"TERM": "of-tomorrow"}) as terminal:
        _whole(terminal)


@pytest.mark.slow
def test_with_a_pipe_for_a_history_it_says_so_and_can_be_left(season: Path) -> None:
    os.mkfifo(season.with_name("two.history.jsonl"))
    with OnTerminal(season, *TODAY) as terminal:
        _whole(terminal)
        terminal.press("w")
        terminal.see("hoe1 [ ]")
        terminal.press(" ")
        terminal.see("Not saved")
        terminal.press("y")
        terminal.see("no plain file")
        terminal.press("q")
        assert terminal.ended()[0] == 0
        _assert_put_back(terminal.sent)
    assert "state" not in season.read_text()


# What is written goes through a queue, whose lock the drawing holds for a moment; a signal may come in just that moment.
CONTINUED_WHILE_WRITING = """
import os, signal, sys, threading
from textual.drivers import linux_driver
from calendar_tui.cli import program

lock, write, due = threading.Lock(), linux_driver.WriterThread.write, [True]

def locked(self, text):
    if not lock.acquire(timeout=5):
        os._exit(3)
    try:
        if due and "quit" in text:
            due.clear()
            os.kill(os.getpid(), signal.SIGCONT)
        write(self, text)
    finally:
        lock.release()

linux_driver.WriterThread.write = locked
sys.argv = ["calendar-tui", *sys.argv[1:]]
sys.exit(program())
"""


def test_continued_in_the_middle_of_drawing_it_waits_for_no_lock_of_its_own(season: Path) -> None:
    with OnTerminal(season, *TODAY, code=CONTINUED_WHILE_WRITING) as terminal:
        # What is typed before the terminal is taken up anew is thrown away with it.
        terminal.sends(b"\x1b[?1049h", 2)
        _whole(terminal)
        terminal.press("q")
        assert terminal.ended()[0] == 0
        _assert_put_back(terminal.sent)
