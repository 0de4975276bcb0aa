"""A person's editor, which takes no lock, writes the file while a save is under way: nothing of either is lost."""

import os
import threading

import pytest

from calendar_tui.storage import season_file
from calendar_tui.storage.disk import lock, whole_file
from calendar_tui.storage.history.undo import read_history, undo_last
from calendar_tui.storage.problems import SeasonFileError
from calendar_tui.storage.season_file import load
from tests.storage.small_farm import WHEN, farm, left, save, tick


def by_rename(path, text):
    new = path.with_name("farm.toml~")
    new.write_text(text)
    os.replace(new, path)


def in_place(path, text):
    path.write_text(text)


WAYS = pytest.mark.parametrize("write", [by_rename, in_place], ids=["by rename", "in place"])
# What a save does after it has read the file, in that order; the editor writes right before each.
MOMENTS = {
    "before the checks": (season_file, "_refuse_problems"),
    "before the new text is written": (whole_file, "_write_beside"),
    "after the new text is written": (whole_file, "keep_access"),
    "while the new text reaches the disk": (os, "fsync"),
    "while the history reaches the disk": (os, "fsync"),
}


@pytest.fixture
def season(tmp_path):
    path = tmp_path / "farm.toml"
    path.write_text(farm(3))
    return path


def edited(season):
    return season.read_text() + '\n[[task]]\nid = "T9"\nstate = "open"   # by hand\n'


@WAYS
@pytest.mark.parametrize("moment", MOMENTS)
@pytest.mark.parametrize("times", [1, 2])
def test_an_edit_by_hand_during_a_save_stays_and_so_does_the_save(season, monkeypatch, write, moment, times):
    module, name = MOMENTS[moment]
    real = getattr(module, name)
    history = season.with_name("farm.history.jsonl")
    turns = []

    def edit_first(*args, **rest):
        if len(turns) < times and (history.exists() or "history" not in moment):
            turns.append(args)
            write(
                season, season.read_text() + f'\n[[task]]\nid = "H{len(turns)}"\nstate = "open"   # by hand\n'
            )
        return real(*args, **rest)

    with monkeypatch.context() as patch:
        patch.setattr(module, name, edit_first)
        saved = save(season, tick("T1"))
    assert len(turns) == times
    tasks = {t["id"]: t["state"] for t in load(season).data["task"]}
    hands = dict.fromkeys([f"H{i + 1}" for i in range(times)], "open")
    assert tasks == {"T0": "open", "T1": "done", "T2": "open", **hands}
    assert season.read_text() == saved.text
    assert [(e.n, e.what) for e in read_history(season).entries] == [(1, "tick T1")]
    assert left(season.parent) == ["farm.history.jsonl", "farm.toml"]
    assert undo_last(season, who="ana", when=WHEN).exact


@WAYS
def test_an_edit_by_hand_while_a_save_waits_for_the_lock_stays(season, write):
    loaded = load(season)
    with lock.locked(season):
        waiting = threading.Thread(target=save, args=(season, tick("T1")), kwargs={"loaded": loaded})
        waiting.start()
        write(season, edited(season))
    waiting.join()
    assert [t["state"] for t in load(season).data["task"]] == ["open", "done", "open", "open"]
    assert "# by hand" in season.read_text()


@WAYS
def test_an_edit_by_hand_during_an_undo_stays(season, monkeypatch, write):
    save(season, tick("T1"))
    real = whole_file.keep_access
    with monkeypatch.context() as patch:
        patch.setattr(whole_file, "keep_access", lambda fresh, like: (real(fresh, like), write(season, hand)))
        hand = edited(season)
        undone = undo_last(season, who="ana", when=WHEN)
    assert not undone.exact
    assert season.read_text() == hand.replace("done", "open")


@WAYS
def test_a_program_that_never_stops_writing_is_told(season, monkeypatch, write):
    real = whole_file.keep_access
    turns = []

    def edit_always(fresh, like):
        real(fresh, like)
        turns.append(fresh)
        write(season, season.read_text() + f"# {len(turns)}\n")

    save(season, tick("T0"))
    text = season.read_text()
    with monkeypatch.context() as patch:
        patch.setattr(whole_file, "keep_access", edit_always)
        with pytest.raises(
            SeasonFileError, match="another program changed it at the same moment; save again"
        ):
            save(season, tick("T1"))
    assert 1 < len(turns) < 10
    assert season.read_text() == text + "".join(f"# {i + 1}\n" for i in range(len(turns)))
    assert len(read_history(season).entries) == 1
    assert left(season.parent) == ["farm.history.jsonl", "farm.toml"]


@WAYS
def test_an_editor_that_takes_away_what_is_edited_is_told(season, monkeypatch, write):
    real = whole_file.keep_access

    def edit(fresh, like):
        real(fresh, like)
        write(season, farm(1))

    monkeypatch.setattr(whole_file, "keep_access", edit)
    with pytest.raises(SeasonFileError, match="task T1 is not there any more"):
        save(season, tick("T1"))
    assert season.read_text() == farm(1)


def test_a_file_half_written_by_an_editor_is_not_saved_over(season):
    half = farm(3)[:-12]
    season.write_text(half)
    with pytest.raises(SeasonFileError, match="not TOML"):
        save(season, tick("T1"))
    assert season.read_text() == half
