"""What lies beside a season and is no plain file: never followed, never waited for, and refused with a sentence."""

import os
from pathlib import Path

import pytest
from small_farm import WHEN, farm, left, save, tick

from calendar_tui.season.weather import Station
from calendar_tui.storage.disk.beside import history_path
from calendar_tui.storage.disk.handed_file import hand_out, read_if_exists
from calendar_tui.storage.disk.lock import lock_path
from calendar_tui.storage.disk.whole_file import fresh_path
from calendar_tui.storage.history.shortening import older_lines, shorten_history
from calendar_tui.storage.history.undo import read_history, undo_last
from calendar_tui.storage.problems import SeasonFileError
from calendar_tui.storage.station.file import read_station
from calendar_tui.storage.watching import last_number

pytestmark = pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="this system has no such files")


@pytest.fixture
def season(tmp_path):
    folder = tmp_path / "farm"
    folder.mkdir()
    path = folder / "two-rivers.toml"
    path.write_text(farm(3))
    return path


def pipe(path):
    os.mkfifo(path)


def zeros(path):
    path.symlink_to("/dev/zero")


def link(path):
    """A link to a file elsewhere, in which nobody is to write."""
    path.symlink_to(elsewhere(path))


def dangling(path):
    """A link to where no file is yet, and where none is to be made."""
    path.symlink_to(elsewhere(path).with_name("not there"))


def elsewhere(path):
    return path.parents[1] / "elsewhere"


ODD = pytest.mark.parametrize("make", [pipe, zeros, link, dangling])


@ODD
def test_a_history_that_is_no_plain_file_is_refused_before_the_lock_is_taken(season, make):
    elsewhere(season).write_text("root's\n")
    make(history_path(season))
    before = season.read_bytes()
    for work in (
        lambda: save(season, tick()),
        lambda: undo_last(season, who="ana", when=WHEN),
        lambda: shorten_history(season, WHEN.date(), WHEN.tzinfo, who="ana", when=WHEN),
        lambda: older_lines(season, WHEN.date(), WHEN.tzinfo),
        lambda: read_history(season),
    ):
        with pytest.raises(SeasonFileError, match=r"two-rivers.history.jsonl.*(link|no plain file)"):
            work()
    assert last_number(season) == 0
    assert (season.read_bytes(), elsewhere(season).read_text()) == (before, "root's\n")
    assert not lock_path(season).exists()
    assert sorted(p.name for p in season.parents[1].iterdir()) == ["elsewhere", "farm"]


@pytest.mark.parametrize("make", [pipe, zeros, link])
def test_a_lock_that_is_no_plain_file_is_refused(season, make):
    elsewhere(season).write_text("root's\n")
    make(lock_path(season))
    with pytest.raises(SeasonFileError, match="its lock"):
        save(season, tick())
    assert elsewhere(season).read_text() == "root's\n"


@ODD
def test_what_lies_where_the_new_text_goes_is_cleared_away(season, make):
    elsewhere(season).write_text("root's\n")
    save(season, tick())
    make(fresh_path(season))
    save(season, tick("T2"))
    assert elsewhere(season).read_text() == "root's\n"
    assert left(season.parent) == ["two-rivers.history.jsonl", "two-rivers.toml"]
    assert read_history(season).never == ()


@ODD
def test_a_file_of_older_lines_that_is_no_plain_file_is_not_touched(season, make):
    elsewhere(season).write_text("root's\n")
    save(season, tick())
    day = WHEN.date().replace(month=12)
    make(history_path(season).with_name(f"two-rivers.history-before-{day}.jsonl"))
    before = history_path(season).read_bytes()
    with pytest.raises(SeasonFileError, match="history-before"):
        shorten_history(season, day, WHEN.tzinfo, who="ana", when=WHEN)
    assert (history_path(season).read_bytes(), elsewhere(season).read_text()) == (before, "root's\n")


@ODD
def test_a_station_file_that_is_a_link_or_a_pipe_is_refused_and_nothing_of_it_shown(season, make):
    elsewhere(season).write_text("root:secret:words\n")
    make(season.with_name("station.csv"))
    read = read_station(season.parent, Station(file="station.csv", unit="C"))
    assert read.days is None
    (problem,) = read.problems
    assert "secret" not in str(problem)
    assert "station.csv" in str(problem)


@pytest.mark.parametrize("make", [pipe, zeros])
def test_an_export_to_what_is_no_plain_file_is_refused(season, make):
    target = season.with_name("tasks.csv")
    make(target)
    for work in (lambda: read_if_exists(target), lambda: hand_out({target: b"x"})):
        with pytest.raises(SeasonFileError, match="no plain file"):
            work()
    assert Path("/dev/zero").is_char_device()
