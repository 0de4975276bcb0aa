"""How often a season file is parsed, and its records read, by a command that saves: as they were once, and of what comes of it what
does not stand as it was.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
import tomli
from recording_farm import data
from small_season import ids, run

from calendar_tui.season import reading
from calendar_tui.season.kinds import LISTED
from calendar_tui.storage.toml.values import data_in

Parses = Callable[..., list[int]]


@pytest.fixture
def parses(season: Path, monkeypatch: pytest.MonkeyPatch) -> Parses:
    """Runs a command, as a program started anew, and gives how often it parsed each text with all tasks of the file."""
    loads, counts = tomli.loads, Counter[str]()
    tasks = len(ids(season))

    def counted(text: str) -> dict[str, object]:
        counts[text] += text.count("{ id = ") >= tasks
        return loads(text)

    monkeypatch.setattr(tomli, "loads", counted)

    def ran(command: str, *words: str) -> list[int]:
        data_in.cache_clear()
        counts.clear()
        before = season.read_text()
        done = run(command, season, *words, today="2026-11-10")
        assert done.status == 0, done.said
        after = season.read_text()
        assert set(+counts) <= {before, after}, "another text was parsed"
        return [counts[before], counts[after]]

    return ran


def test_a_tick_parses_what_was_and_not_again_all_that_comes_of_it(season: Path, parses: Parses) -> None:
    assert parses("done", ids(season)[-1], "--yes") == [1, 0]


@pytest.mark.parametrize(
    "words",
    [
        ("skip", "{}"),
        ("move", "{}", "+1", "--yes"),
        ("note", "{}", "two trays short"),
        ("record", "A1", "transplant", "2026-11-08", "--yes"),
        ("plan", "A1", "transplant", "2026-11-12", "--yes"),
        ("variety", "amber", "drying_d", "8,11,15", "--yes"),
    ],
)
def test_a_change_parses_what_was_and_not_again_all_that_comes_of_it(
    season: Path, parses: Parses, words: tuple[str, ...]
) -> None:
    one = ids(season)[-1]
    assert parses(*(word.format(one) for word in words)) == [1, 0]


def test_a_change_parses_what_comes_of_it_where_its_records_are_not_one_to_a_line(
    season: Path, parses: Parses
) -> None:
    season.write_text(season.read_text().replace("task = [\n", "task = [ # all\n"))
    assert parses("done", ids(season)[-1], "--yes") == [1, 1]


@pytest.mark.parametrize(
    ("words", "twice"),
    [
        (("done", "{}", "--yes"), ""),
        (("done", "{plant}", "--on", "due", "--yes"), ""),
        (("move", "{}", "+1", "--yes"), ""),
        (("record", "A1", "transplant", "2026-11-08", "--yes"), ""),
        (("record", "H1", "outage", "2026-11-06", "--yes"), ""),
        (("plan", "A1", "transplant", "2026-11-12", "--yes"), ""),
        (("plan", "A1", "stay", "F1", "2026-12-26", "--yes"), ""),
        (("variety", "amber", "drying_d", "8,11,15", "--yes"), "variety"),
        (("chores", "scout", "offset_d", "10", "--yes"), "chore"),
        (("cohort", "A1", "note", "late trays", "--yes"), "cohort"),
        (("tasks", "--yes"), ""),
    ],
)
def test_a_change_reads_no_record_again_that_it_leaves_as_it_was(
    season: Path, monkeypatch: pytest.MonkeyPatch, words: tuple[str, ...], twice: str
) -> None:
    """twice: the kind of the record that is changed by its fields, read once to be shown and once as it is saved."""
    text = season.read_text().replace("hours = 0.85", 'hours = 0.85\nrecords = "transplant"')
    season.write_text(text.replace("offset_d = 7", "offset_d = 8"))
    readings, read_record = Counter[str](), reading.read_record

    def counted(form: Any, path: Any, table: Any, problems: Any) -> Any:
        readings[f"{form.kind} {table!r}"] += form.kind in LISTED
        return read_record(form, path, table, problems)

    plant = next(t["id"] for t in data(season)["task"] if t["chore"] == "transplant")
    monkeypatch.setattr(reading, "read_record", counted)
    before = season.read_bytes()
    ran = run(
        words[0], season, *(w.format(ids(season)[-1], plant=plant) for w in words[1:]), today="2026-11-10"
    )
    assert ran.status == 0, ran.said
    assert season.read_bytes() != before
    again = {what.split()[0]: times for what, times in readings.items() if times > 1}
    assert again == ({twice: 2} if twice else {})


def test_an_undo_parses_no_more_than_what_comes_of_it(season: Path, parses: Parses) -> None:
    run("note", season, ids(season)[-1], "two trays short")
    assert parses("undo", "--yes") == [0, 1]
    assert parses("redo", "--yes") == [0, 1]


def test_an_undo_past_an_edit_by_hand_parses_the_edited_file_too(season: Path, parses: Parses) -> None:
    run("note", season, ids(season)[-1], "two trays short")
    season.write_text("# by hand\n" + season.read_text())
    assert parses("undo", "--yes") == [1, 1]


def test_the_week_parses_the_file_once(parses: Parses) -> None:
    assert parses("week") == [1, 1]
