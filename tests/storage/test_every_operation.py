"""A disk that fails at any one operation of a save, an undo or a redo, or at all from there on: old or new stands."""

import errno
from itertools import count
from shutil import rmtree

import pytest

from calendar_tui.storage.history.undo import read_history, redo_last, undo_last
from calendar_tui.storage.problems import SeasonFileError
from calendar_tui.storage.upgrading import upgrade_season
from tests.storage.failing_layer import TAKES_ROOM, Layer
from tests.storage.small_farm import WHEN, farm, left, save, tick

pytestmark = pytest.mark.slow

SAID = {
    errno.ENOSPC: "the disk is full",
    errno.EIO: "the disk fails",
    errno.EACCES: "you have no permission",
}
BY = {"who": "ana", "when": WHEN}


def nothing(_path):
    pass


def one_save(path):
    save(path, tick("T0"))


def save_and_undo(path):
    save(path, tick("T0"))
    undo_last(path, **BY)


def crash(path):
    """What a save killed right before the replacing leaves behind."""
    save(path, tick("T0"))
    text = path.read_bytes()
    save(path, tick("T2"))
    path.with_name(".farm.toml.new").write_bytes(path.read_bytes())
    path.write_bytes(text)


# What was done before, and what the disk fails at.
ACTS = {
    "the first save": (nothing, lambda path: save(path, tick())),
    "a later save": (one_save, lambda path: save(path, tick())),
    "a save after a crash": (crash, lambda path: save(path, tick())),
    "an undo": (one_save, lambda path: undo_last(path, **BY)),
    "a redo": (save_and_undo, lambda path: redo_last(path, **BY)),
}
MODES = {
    "once": {},
    "from there on": {"stays": True},
    "from there on where room is needed": {"stays": True, "kinds": TAKES_ROOM},
}


def whats(path):
    return [entry.what for entry in read_history(path).entries]


def prepared(folder, before):
    rmtree(folder, ignore_errors=True)
    folder.mkdir()
    path = folder / "farm.toml"
    path.write_text(farm(3))
    before(path)
    return path


def tried(path, act):
    """What the person is told; "" where all went well."""
    try:
        act(path)
    except SeasonFileError as error:
        return str(error)
    return ""


@pytest.mark.parametrize("mode", MODES)
@pytest.mark.parametrize("number", SAID, ids=errno.errorcode.get)
@pytest.mark.parametrize("act", ACTS)
def test_whichever_operation_fails_the_old_file_or_the_new_one_stands(memory_folder, act, number, mode):
    before, work = ACTS[act]
    folder = memory_folder / "farm"
    path = prepared(folder, before)
    old, old_whats = path.read_bytes(), whats(path)
    work(path)
    new, new_whats = path.read_bytes(), whats(path)
    assert (new != old, len(new_whats)) == (True, len(old_whats) + 1)
    for at in count(1):
        path = prepared(folder, before)
        with Layer(folder, at, number, **MODES[mode]) as layer:
            said = tried(path, work)
        if len(layer.done) < at:
            break
        case = f"operation {at}, {layer.failed[0]}: {said}"
        text = path.read_bytes()
        assert text in (old, new), case
        assert text == new or said, case
        if said:
            assert said.startswith(f"{folder}/"), case
            assert SAID[number] in said, case
            assert "\n" not in said, case
            assert ("is saved" in said) == (text == new), case
            assert ("not saved" in said or "cannot be" in said) == (text == old), case
        assert whats(path) == (new_whats if text == new else old_whats), case
        save(path, tick("T1", "skipped"))
        assert left(folder) == ["farm.history.jsonl", "farm.toml"], case
        assert undo_last(path, **BY).exact, case
        assert path.read_bytes() == text, case
    assert at > 40


OLD = """\
format = 1
season = { name = "Two Rivers", first_day = 2026-09-15, last_day = 2027-05-15 }
site = { latitude = -34.3, longitude = -56.7, timezone = "America/Montevideo" }
[[place]]
id = "H1"
kind = "hoop house"
lamps = { method = "night-break", from = "22:00", to = "02:00" }

# of H1
[[task]]
id = "T1"
date = 2026-11-08
what = "Hang the lamps"
"""


@pytest.mark.parametrize("mode", MODES)
@pytest.mark.parametrize("number", SAID, ids=errno.errorcode.get)
def test_whichever_operation_of_an_upgrade_fails_the_old_file_is_there(memory_folder, number, mode):
    folder = memory_folder / "farm"
    for at in count(1):
        path = prepared(folder, lambda path: path.write_text(OLD))
        kept = folder / "farm.format1.toml"
        with Layer(folder, at, number, **MODES[mode]) as layer:
            said = tried(path, lambda path: upgrade_season(path, **BY))
        if len(layer.done) < at:
            break
        case = f"operation {at}, {layer.failed[0]}: {said}"
        upgraded = path.read_text() != OLD
        assert upgraded or said, case
        assert not upgraded or kept.read_text() == OLD, case
        assert not said or SAID[number] in said, case
        assert not said or ("is saved" in said) == upgraded, case
        upgrade_season(path, **BY)
        assert "format = 3" in path.read_text(), case
        assert kept.read_text() == OLD, case
        assert len(whats(path)) == 1, case
        assert undo_last(path, **BY).exact, case
        assert path.read_text() == OLD, case
    assert at > 50
