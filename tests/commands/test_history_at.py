"""The season as it was on a date, told by every command that tells."""

from __future__ import annotations

import io
import json
import sys
from datetime import UTC, datetime
from types import ModuleType

import pytest
from small_season import run

from calendar_tui.cli import main
from calendar_tui.commands import opening
from calendar_tui.season.edits import Change, Edit
from calendar_tui.storage.history.undo import read_history
from calendar_tui.storage.season_file import save_change


def save(season, day, *edits):
    when = datetime(2026, 11, day, 12, tzinfo=UTC)
    save_change(season, Change(f"day {day}", edits), who="ana", when=when)


@pytest.fixture
def later(season):
    """B1 planned ten days later on 10 November and taken away on the 12th; the text before that."""
    text = season.read_text()
    day = Edit("set", "cohort", ("B1",), ("planned", "sticking"), datetime(2026, 11, 30).date())
    save(season, 10, day)
    save(season, 12, Edit("remove", "cohort", ("B1",)))
    return season, text


def test_the_season_file_is_printed_as_it_was(later):
    season, text = later
    ran = run("history", season, "--at", "2026-11-09")
    assert (ran.status, ran.out) == (0, text)
    assert "The history begins with change 1 of 2026-11-10" in ran.err
    ran = run("history", season, "--at", "2026-11-11")
    assert (ran.out, ran.err) == (text.replace("2026-11-20 }", "2026-11-30 }"), "")
    assert run("history", season, "--at", "2026-11-12").out == season.read_text()


@pytest.mark.slow
@pytest.mark.parametrize("command", ["dates", "why", "chart", "lamps", "week", "load", "check", "daylight"])
def test_every_telling_command_looks_back(later, command):
    season, text = later
    now = season.read_text()
    words = {"why": ["B1", "harvest"]}.get(command, [])
    then = run(command, season, *words, "--at", "2026-11-09")
    season.write_text(text)
    assert then.status == run(command, season, *words).status == 0
    assert then.out == run(command, season, *words).out
    season.write_text(now)


def test_the_day_looked_back_to_is_today(later):
    season, _ = later
    told = run("week", season, "--at", "2026-11-10", today=None).out
    assert told.startswith("Week of Mon 9 Nov 2026")
    assert "Tue 10 Nov  <- today" in told
    told = run("week", season, "--at", "2026-11-10", today="2026-11-18").out
    assert told.startswith("Week of Mon 16 Nov 2026")


def test_dates_show_what_was_planned_then(later):
    season, _ = later

    def sticking(day):
        rows = json.loads(run("dates", season, "B1", "--json", "--at", day).out)["dates"]
        return next(row["likely"] for row in rows if row["stage"] == "sticking")

    assert (sticking("2026-11-09"), sticking("2026-11-11")) == ("2026-11-20", "2026-11-30")
    ran = run("dates", season, "B1", "--at", "2026-11-12")
    assert ran.status == 2


def test_what_is_not_certain_is_told_beside_it(later):
    season, _ = later
    season.write_text("# by hand\n" + season.read_text())
    ran = run("dates", season, "--at", "2026-11-09", "--json")
    assert json.loads(ran.out)
    assert ran.err.startswith(
        "As it was at the end of 2026-11-09: The file was edited by hand after change 2"
    )


@pytest.mark.parametrize("word", ["someday", "2026-13-01", "9999-12-31", ""])
def test_a_date_that_is_none_is_said(later, word):
    ran = run("history", later[0], "--at", word)
    assert ran.status == 2
    assert f'--at "{word}" is not' in ran.err


def test_the_full_screen_opens_on_it_read_only(later, monkeypatch):
    season, text = later
    opened = []
    start = ModuleType("calendar_tui.screens.start")
    start.run = lambda *given, past, **_: opened.append((*given, past)) or 0
    monkeypatch.setitem(sys.modules, "calendar_tui.screens.start", start)
    monkeypatch.setattr(opening, "at_terminal", lambda: True)
    monkeypatch.setattr(opening, "_moves_cursor", lambda kind: True)
    monkeypatch.setenv("TERM", "xterm")
    monkeypatch.setenv("CALENDAR_TUI_TODAY", "2026-12-24")
    assert run(season, "--at", "2026-11-09", today=None).status == 0
    assert run(season, today=None).status == 0
    (then, day, *_, past), (now, _, *_, none) = opened
    assert (then.text, day.isoformat()) == (text, "2026-11-09")
    assert (past.heading, past.returns, len(past.notes)) == ("as of 2026-11-09, read-only", False, 1)
    assert (now.text, none) == (season.read_text(), None)


def test_on_a_terminal_the_file_is_printed_harmless(later, monkeypatch):
    season, text = later
    by_hand = text.replace("[season]\n", "[season]\t# \x9b2J\u202e\n", 1).replace("\n", "\r\n")
    season.write_bytes(by_hand.encode())
    terminal = io.StringIO()
    terminal.isatty = lambda: True
    monkeypatch.setattr(sys, "stdout", terminal)
    assert main(["history", str(season), "--at", "2026-11-30"]) == 0
    assert terminal.getvalue() == text.replace("[season]\n", "[season]\t# ?2J?\n", 1)


@pytest.mark.parametrize("flags", [["--json"], ["--last", 2], ["--full"], ["--shorten-before", "2026-11-01"]])
def test_flags_that_have_no_say_are_refused(later, flags):
    ran = run("history", later[0], "--at", "2026-11-09", *flags)
    assert ran.status == 2
    assert "do not go together" in ran.err
    assert run("history", later[0], "--yes").status == 2


def test_looking_back_writes_nothing(later):
    season, _ = later
    before = season.read_bytes(), len(read_history(season).entries)
    for command in ("dates", "check", "history"):
        run(command, season, "--at", "2026-11-09")
    assert (season.read_bytes(), len(read_history(season).entries)) == before
