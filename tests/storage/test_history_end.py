"""A long history is read from its end: as much as is shown or taken back, and what comes of it is the same."""

import random
import sys
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from calendar_tui.season.edits import Change, Edit
from calendar_tui.storage.disk.beside import history_path
from calendar_tui.storage.history import undo as history_file
from calendar_tui.storage.history.as_it_was import as_it_was_after, as_it_was_on
from calendar_tui.storage.history.shortening import shorten_history
from calendar_tui.storage.history.undo import at_least, read_history, take_back
from calendar_tui.storage.history.undo_choice import newest, own_first
from calendar_tui.storage.journal import file as journal
from calendar_tui.storage.problems import SeasonFileError
from calendar_tui.storage.season_file import save_change

sys.path.insert(0, str(Path(__file__).parents[1] / "bench"))
from long_history import LAST, long_history

NOW = datetime(2026, 12, 8, 12, tzinfo=UTC)
PEOPLE = ("ana", "ben", "cleo")
TEXT = '[[task]]\nid = "T1"\nn = 0\nm = 0\n'


@pytest.fixture
def parsed(monkeypatch):
    """The lines of histories that are parsed."""
    lines, real = [], journal.decoded

    def counted(line):
        lines.append(line)
        return real(line)

    monkeypatch.setattr(journal, "decoded", counted)
    return lines


def one_more(path, who="ana", value=7):
    edit = Edit("set", "place", ("F1",), ("area_m2",), value)
    return save_change(path, Change("x", (edit,)), who=who, when=LAST)


WORK = {
    "the newest 20 told": lambda path: read_history(path, at_least(20)),
    "one's own undone": lambda path: take_back(
        path, "undo", own_first("undo", 1, "ben", LAST), who="ben", when=LAST
    ),
    "the newest undone": lambda path: take_back(path, "undo", newest("undo", 3), who="dora", when=LAST),
    "one more saved": one_more,
    "as it was on its last day": lambda path: as_it_was_on(path, LAST.date(), UTC),
    "as it was before its newest 10 changes": lambda path: as_it_was_after(
        path, int(path.stem.removeprefix("farm")) - 10, UTC
    ),
}


@pytest.mark.parametrize("work", WORK.values(), ids=WORK.keys())
def test_the_lines_parsed_do_not_grow_with_the_history(tmp_path, parsed, work):
    counts = []
    for entries in (500, 2000):
        path = tmp_path / f"farm{entries}.toml"
        long_history(path, entries)
        parsed.clear()
        work(path)
        counts.append(len(parsed))
    assert counts[0] == counts[1] <= 2 * history_file.FIRST_LINES


def test_an_edit_by_hand_does_not_make_it_read_all(tmp_path, parsed):
    path = tmp_path / "farm.toml"
    long_history(path, 2000)
    path.write_text("# by hand\n" + path.read_text())
    parsed.clear()
    take_back(path, "undo", newest("undo", 1), who="ana", when=LAST)
    assert len(parsed) <= 2 * history_file.FIRST_LINES


def test_older_entries_are_counted_and_where_they_went_is_told(tmp_path):
    path = tmp_path / "farm.toml"
    long_history(path, 1000)
    history = read_history(path, at_least(20))
    assert history.older + history.rows == 1000
    shorten_history(path, LAST.date(), UTC, who="ana", when=LAST)
    history, whole = read_history(path, at_least(20)), read_history(path)
    assert history.older + history.rows == whole.rows
    assert history.shortened == whole.shortened is not None


def grown(path, seed, steps=40):
    """A history of changes, undos and redos by three people, edits by hand, torn lines, and older files put back."""
    dice, texts = random.Random(seed), [TEXT]
    path.write_text(TEXT)
    for n in range(steps):
        who, when = dice.choice(PEOPLE), NOW - timedelta(hours=2 * (steps - n))
        move = dice.choice(["save", "save", "save", "undo", "redo", "hand", "back", "torn"])
        try:
            if move == "save":
                edit = Edit("set", "task", ("T1",), (dice.choice("nm"),), n + 1)
                save_change(path, Change(f"to {n}", (edit,)), who=who, when=when)
            elif move in ("undo", "redo"):
                count = dice.choice([1, 1, 2])
                choice = dice.choice([newest(move, count), own_first(move, count, who, when)])
                take_back(path, move, choice, who=who, when=when)
            elif move == "hand":
                path.write_text(path.read_text() + f"# by hand {n}\n")
            elif move == "back":
                path.write_text(dice.choice(texts))
            else:
                with history_path(path).open("ab") as stream:
                    stream.write(b'{"n": 5, "wh')
        except SeasonFileError:
            pass  # nothing to undo, or somebody's newer change in the way
        texts.append(path.read_text())


def chosen(path, choice, enough=None):
    try:
        return choice.pick(path, read_history(path, enough))
    except SeasonFileError as error:
        return str(error)


def row_of(history, entry):
    return entry, entry in history.gone, entry in history.never, history.marks().get(entry.n)


def newest_rows(history, count):
    entries = sorted((*history.entries, *history.gone, *history.never), key=lambda entry: entry.n)
    return [row_of(history, entry) for entry in entries[-count:]]


@pytest.mark.quick(5)
@pytest.mark.parametrize("first", [1, 2, 5])
@pytest.mark.parametrize("seeds", [range(n, n + 5) for n in range(0, 60, 5)], ids=str)
def test_what_is_read_from_the_end_is_as_in_the_whole(tmp_path, monkeypatch, first, seeds):
    read_short = 0
    for seed in seeds:
        path = tmp_path / f"farm{seed}.toml"
        with monkeypatch.context() as patch:
            patch.setattr(history_file, "FIRST_LINES", first)
            grown(path, seed)
            whole = read_history(path)
            for count in (1, 3, 10):
                some = read_history(path, at_least(count))
                read_short += some.rows < whole.rows
                assert newest_rows(some, count) == newest_rows(whole, count), seed
            for way in ("undo", "redo"):
                for choice in (
                    *(newest(way, count) for count in (1, 2)),
                    *(own_first(way, count, who, NOW) for who in PEOPLE for count in (1, 2)),
                ):
                    assert chosen(path, choice, choice.enough) == chosen(path, choice), (seed, way)
    assert read_short > 1


def shown(look, *words):
    """A season as it was, with its notes, or why it cannot be shown."""
    try:
        return look(*words, UTC)
    except SeasonFileError as error:
        return str(error)


@pytest.mark.quick(4)
@pytest.mark.parametrize("seed", range(20))
def test_a_season_as_it_was_is_the_same_from_the_end_of_its_history_and_from_the_whole(
    tmp_path, monkeypatch, seed
):
    path = tmp_path / "farm.toml"
    grown(path, seed)
    looks = [(as_it_was_after, path, n) for n in range(1, 42, 3)]
    looks += [(as_it_was_on, path, (NOW - timedelta(days=days)).date()) for days in range(5)]
    found = []
    for first in (1, 10**6):
        monkeypatch.setattr(history_file, "FIRST_LINES", first)
        found.append([shown(*look) for look in looks])
    differing = [look[1:] for look, short, whole in zip(looks, *found, strict=True) if short != whole]
    assert not differing, seed
