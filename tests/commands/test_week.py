"""The command week: widths, filters, days, the sheet to print, the line for a login, and colour."""

from __future__ import annotations

import json
import os
import pty
import re
import subprocess
import sys
from pathlib import Path

import pytest
from small_season import run

from tests.commands.fuzzing import case
from tests.season_data import data_of

EXTRA = """
[[task]]
id = "twin"
date = 2026-11-11
what = "Turn trays with a name that is far too long for a line of forty columns on a phone"
cohorts = ["A1", "B1", "D1"]
place = "N1"
hours = 0.5
note = "two short"
[[task]]
id = "skip"
date = 2026-11-12
what = "Hoe"
who = "crew"
place = "F1"
state = "skipped"
note = "rain all day"
[[task]]
id = "mond"
date = 2026-11-09
what = "Mend the fence"
who = "crew"
"""


@pytest.fixture
def week(season: Path) -> Path:
    season.write_text(season.read_text() + EXTRA)
    return season


def _lines(*words: object, today: str = "2026-11-10") -> list[str]:
    ran = run(*words, today=today)
    assert ran.status == 0, ran.said
    return ran.out.splitlines()


# --- widths


@pytest.mark.parametrize("width", [40, 60, 80, 160])
@pytest.mark.parametrize("more", [(), ("--print",)])
def test_no_line_is_wider_than_asked_and_no_word_is_lost(
    week: Path, width: int, more: tuple[str, ...]
) -> None:
    narrow = _lines("week", week, "--width", str(width), *more)
    wide = _lines("week", week, "--width", "400", *more)
    assert max(map(len, narrow)) <= width
    words = [w for w in " ".join(narrow).split() if not w.startswith("_")]
    assert words == [w for w in " ".join(wide).split() if not w.startswith("_")]


def test_an_id_begins_its_line_at_every_width(week: Path) -> None:
    known = {task["id"] for task in data_of(week.read_text())["task"]}
    for width in (30, 40, 80):
        lines = _lines("week", week, "--width", str(width))
        shown = {line.split()[0] for line in lines if re.match(r" {0,2}\S+ +\[.\]", line)}
        assert shown <= known
        assert {"twin", "skip", "mond"} <= shown


@pytest.mark.parametrize("width", ["29", "401", "wide", "-40", "٤٠", "9" * 30])
def test_a_width_that_cannot_be_is_told(week: Path, width: str) -> None:
    ran = run("week", week, f"--width={width}")
    assert ran.status == 2
    assert "is not a whole number from 30 to 400" in ran.err


def test_no_figure_is_parted_from_its_unit(week: Path) -> None:
    for width in range(30, 60):
        lines = _lines("week", week, "--width", str(width))
        assert not any(line.endswith(("0.5", "~0.5")) for line in lines)
        assert "\N{NO-BREAK SPACE}" not in "".join(lines)


# --- what is shown


def test_a_merged_task_shows_its_cohorts_and_a_note_or_reason_stands_with_its_task(week: Path) -> None:
    out = " ".join(" ".join(_lines("week", week)).split())
    assert "twin [ ] A1 B1 D1 N1 Turn trays" in out
    assert "note: two short" in out
    assert "skip [-] F1 Hoe (crew); skipped: rain all day" in out


def test_a_day_of_this_week_tells_what_is_overdue_of_it(week: Path) -> None:
    assert "Mon 9 Nov  overdue: 1" in _lines("week", week)
    assert "Mon 9 Nov  <- today" in _lines("week", week, today="2026-11-09")
    # Skipped work is not overdue.
    assert "Thu 12 Nov" in _lines("week", week, today="2026-11-13")


def test_a_caution_and_what_to_write_down_are_told_once_a_kind(season: Path) -> None:
    again = '[[task]]\nid = "{}"\ndate = 2026-11-1{}\nwhat = "Scout"\nchore = "scout"\n'
    text = season.read_text().replace('id = "scout"\n', 'id = "scout"\nasks = "pests"\ncaution = "Sprays."\n')
    season.write_text(text + again.format("aaaa", 1) + again.format("bbbb", 2))
    out = run("week", season).out
    assert out.count("chore") == 0
    assert out.count("write down: pests") == 1
    assert out.count("Caution: Sprays.") == 1
    lines = out.splitlines()
    at = next(i for i, line in enumerate(lines) if "Caution: Sprays." in line)
    assert "write down: pests" in lines[at - 1]
    assert run("week", season, "--print").out.count("Caution: Sprays.") == 1


# --- filters and days


def test_filters_take_names_in_any_case_and_stand_in_the_heading(week: Path) -> None:
    lines = _lines("week", week, "--role", "CREW", "--place", "f1")
    assert lines[0].endswith(", only crew, F1")
    assert [line.split()[0] for line in lines if "[" in line] == ["skip"]
    lines = _lines("week", week, "--cohort", "b1")
    assert [line.split()[0] for line in lines if "] " in line] == ["twin"]


def test_work_of_no_role_is_anyone_s(week: Path) -> None:
    assert [t.split()[0] for t in _lines("week", week, "--role", "anyone") if "[" in t][-1] == "twin"


def test_a_part_of_a_screened_place_belongs_to_the_place(week: Path) -> None:
    week.write_text(week.read_text().replace('place = "N1"\nhours', 'place = "H1 east"\nhours'))
    assert any("twin" in line for line in _lines("week", week, "--place", "h1"))
    assert any("twin" in line for line in _lines("week", week, "--place", "H1 East"))


@pytest.mark.parametrize(
    ("flag", "word", "said"),
    [
        (
            "--role",
            "crwe",
            '--role "crwe" is no role of this season; did you mean "crew"? Roles: anyone, crew, scout',
        ),
        ("--place", "F2", '--place "F2" is no place of this season. Places: F1, H1, N1'),
        (
            "--cohort",
            "A9",
            '--cohort "A9" is no cohort of this season. Cohorts: A1, B1, D1',
        ),
    ],
)
def test_an_unknown_name_suggests_the_nearest(week: Path, flag: str, word: str, said: str) -> None:
    ran = run("week", week, flag, word)
    assert (ran.status, ran.out) == (2, "")
    assert said in ran.err


def test_days_are_counted_from_today(week: Path) -> None:
    lines = _lines("week", week, "--days", "2")
    assert lines[0] == "Tue 10 Nov to Wed 11 Nov 2026 - Near Fields 2026-27"
    assert [line for line in lines[1:] if re.match(r"(Mon|Tue|Wed|Thu) \d", line)] == [
        "Tue 10 Nov  <- today  no tasks",
        "Wed 11 Nov",
    ]
    assert any("mond [ ] Mon 9 Nov: Mend the fence" in line for line in lines)
    assert _lines("week", week, "--days", "1")[0] == "Tue 10 Nov 2026 - Near Fields 2026-27"
    assert "--days" in run("week", week, "--days", "0").err


def test_json_gives_the_filtered_days(week: Path) -> None:
    found = json.loads("\n".join(_lines("week", week, "--json", "--days", "3", "--role", "crew")))
    assert [day["date"] for day in found["days"]] == ["2026-11-10", "2026-11-11", "2026-11-12"]
    assert found["monday"] == "2026-11-09"
    (skipped,) = found["days"][2]["tasks"]
    assert (skipped["state"], skipped["note"], skipped["moved"]) == ("skipped", "rain all day", False)
    assert "choose one" in run("week", week, "--json", "--print").err


# --- the sheet


def test_the_sheet_has_a_box_and_lines_for_each_open_task(week: Path) -> None:
    lines = _lines("week", week, "--print")
    assert lines[0] == "Week of Mon 9 Nov 2026 - Near Fields 2026-27"
    open_tasks = sum("[ ]" in line for line in lines)
    assert open_tasks == sum("done on: ____" in line for line in lines) > 2
    at = next(i for i, line in enumerate(lines) if "skip [-]" in line)
    assert "done on" not in lines[at + 1]
    assert lines[-1].startswith("_")
    assert "\x1b" not in "".join(lines)


def test_the_sheet_asks_for_what_a_task_is_to_find(season: Path) -> None:
    season.write_text(
        season.read_text().replace('id = "scout"\n', 'id = "scout"\nasks = "pests, and where"\n')
    )
    assert any(re.search(r"pests, and where: _{8,}$", line) for line in _lines("week", season, "--print"))
    lines = _lines("week", season, "--print", "--width", "30")
    assert max(map(len, lines)) <= 30
    assert "pests, and where:" in " ".join(" ".join(lines).split())


# --- the line for a login


def test_a_login_gets_one_line(week: Path) -> None:
    assert _lines("week", week, "--brief") == ["Near Fields 2026-27: 3 overdue, 0 today, 2 this week"]
    assert _lines("week", week, "--brief", "--role", "crew") == [
        "Near Fields 2026-27, crew: 2 overdue, 0 today, 0 this week"
    ]


def test_the_first_timed_work_of_the_day_is_told_at_login(week: Path) -> None:
    timed = '[[chore]]\nid = "{0}"\nwhat = "x"\nstage = "transplant"\ntime = "{1}"\n'
    task = '[[task]]\nid = "{0}t"\ndate = 2026-11-10\nwhat = "Walk {0}"\nplace = "H1"\nchore = "{0}"\n'
    both = (("late", "21:00"), ("soon", "07:00"), ("even", "21:00"))
    week.write_text(week.read_text() + "".join(timed.format(*b) + task.format(b[0]) for b in both))
    assert _lines("week", week, "--brief")[0].endswith("3 today, 5 this week; 07:00 Walk soon H1")


@pytest.mark.parametrize(
    "text",
    [
        "",
        "format = 3",
        "= 3",
        "\x00",
        "[season\n",
        "[[task]]\nid = 3\n",
        'task = "x"\nsite = 3',
        "[season]\nname = 3",
    ],
)
def test_a_login_never_fails(tmp_path: Path, text: str) -> None:
    path = tmp_path / "mine.toml"
    path.write_text(text)
    for words in ((path,), (tmp_path / "none.toml",), (tmp_path,), (path, "--role", "x"), (path, "more")):
        ran = run("week", "--brief", *words)
        assert (ran.status, ran.err) == (0, ""), ran.said
        assert 0 < len(ran.out.strip()) <= 160
        assert ran.out.count("\n") == 1


def test_a_login_never_fails_on_a_file_gone_wrong(tmp_path: Path) -> None:
    path = tmp_path / "farm.toml"
    for n in range(0, 20_000, 199):
        path.write_bytes(case(n))
        ran = run("week", "--brief", path)
        assert (ran.status, ran.err, ran.out.count("\n")) == (0, "", 1), n


def test_a_login_shows_a_day_gone_by_and_one_way_only(week: Path) -> None:
    run("done", week, "mond", today="2026-11-10")
    assert _lines("week", week, "--brief")[0].startswith("Near Fields 2026-27: 2 overdue")
    ran = run("week", week, "--brief", "--at", "2026-11-09", today=None)
    assert ran.out.startswith("Near Fields 2026-27: 2 overdue, 1 today")
    assert "choose one" in run("week", week, "--brief", "--json").out


def test_a_login_shows_nothing_raw(week: Path) -> None:
    text = week.read_text()
    week.write_text(text.replace("Near Fields", "\\u001b[2JNear\\nFields"))
    assert _lines("week", week, "--brief") == ["This season: 3 overdue, 0 today, 2 this week"]
    week.write_text(text.replace("Near Fields", "Near Fields" + 200 * "x"))
    (line,) = _lines("week", week, "--brief")
    assert len(line) == 160
    assert line.endswith("...")


# --- how little is loaded


@pytest.mark.slow
def test_nothing_is_laid_out_on_the_way_to_a_week(week: Path) -> None:
    code = (
        "import sys; from calendar_tui.cli import main; main(sys.argv[1:]); "
        "print(*sorted(m for m in sys.modules if m.startswith('calendar_tui.')), file=sys.stderr)"
    )
    for more in ([], ["--brief"], ["--print"], ["--json", "--role", "crew"]):
        words = ["week", str(week), "--today", "2026-11-10", *more]
        ran = subprocess.run([sys.executable, "-c", code, *words], capture_output=True, text=True, check=True)
        loaded = set(ran.stderr.split())
        assert "calendar_tui.planning.tasks.week" in loaded
        rooms = ("plan", "changes.replan", "laying_out.light", "tasks.by_chore", "capacity.hours")
        assert not loaded & {f"calendar_tui.planning.{n}" for n in rooms}


# --- colour


def _on_a_terminal(season: Path, *words: str, columns: int = 80, **env: str) -> str:
    """What a terminal of so many columns is sent."""
    ours, theirs = pty.openpty()
    import fcntl
    import struct
    import termios

    fcntl.ioctl(theirs, termios.TIOCSWINSZ, struct.pack("HHHH", 24, columns, 0, 0))
    command = [sys.executable, "-m", "calendar_tui", "week", str(season), "--today", "2026-11-10", *words]
    kept = {k: v for k, v in os.environ.items() if k not in ("NO_COLOR", "TERM", "COLUMNS")}
    subprocess.run(
        command, check=True, stdin=theirs, stdout=theirs, env={**kept, "TERM": "xterm", **env}, timeout=60
    )
    os.close(theirs)
    sent = b""
    while True:
        try:
            part = os.read(ours, 65536)
        except OSError:  # the other end is closed, and all is read
            break
        if not part:
            break
        sent += part
    os.close(ours)
    return sent.decode().replace("\r\n", "\n")


def test_colour_is_only_on_a_terminal_and_says_nothing_alone(week: Path) -> None:
    plain = run("week", week, today="2026-11-10").out
    assert "\x1b" not in plain
    painted = _on_a_terminal(week)
    assert "\x1b[1;33mOverdue: 3, 2 from before Mon 9 Nov\x1b[m" in painted
    assert re.search(r"\x1b\[33m +Caution: Heat", painted)
    assert re.sub(r"\x1b\[[0-9;]*m", "", painted) == plain
    for quiet in ({"NO_COLOR": "1"}, {"TERM": "dumb"}):
        assert _on_a_terminal(week, **quiet) == plain


def test_the_terminal_s_width_is_taken(week: Path) -> None:
    sent = _on_a_terminal(week, columns=40, NO_COLOR="1")
    assert sent == run("week", week, "--width", "40", today="2026-11-10").out


def test_the_counts_of_what_is_overdue_agree(week: Path) -> None:
    lines = _lines("week", week, today="2026-11-11")
    brief = re.search(r"(\d+) overdue", _lines("week", week, "--brief", today="2026-11-11")[0])
    heading = next(line for line in lines if line.startswith("Overdue"))
    days = [int(found[1]) for line in lines if (found := re.search(r"  overdue: (\d+)$", line))]
    before = (
        lines.index(next(line for line in lines if line.startswith("Mon 9 Nov"))) - lines.index(heading) - 1
    )
    assert brief
    assert days
    assert heading == f"Overdue: {brief[1]}, {int(brief[1]) - sum(days)} from before Mon 9 Nov"
    assert before >= int(brief[1]) - sum(days) > 0
