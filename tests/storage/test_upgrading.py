"""A season file of an older format is upgraded on disk: what changes, what stays, and what is kept."""

from __future__ import annotations

import os
from datetime import UTC, datetime
from pathlib import Path

import pytest

from calendar_tui.season.edits import Change, Edit, outcome
from calendar_tui.season.upgrades import FORMAT
from calendar_tui.storage import upgrading
from calendar_tui.storage.history.undo import read_history, redo_last, undo_last
from calendar_tui.storage.merge_file import merged
from calendar_tui.storage.opening import open_season, returning_problems, season_problems
from calendar_tui.storage.problems import SeasonFileError
from calendar_tui.storage.season_file import Loaded, load, save_change
from calendar_tui.storage.upgrading import upgrade_of, upgrade_season
from tests.season_data import data_of
from tests.storage.small_farm import left

WHEN = datetime(2026, 11, 8, 7, 30, tzinfo=UTC)
OLD = """\
# Two Rivers, an invented farm
format = 1   # of this file

season = { name = "Two Rivers", first_day = 2026-09-15, last_day = 2027-05-15 }
site = { latitude = -34.3, longitude = -56.7, timezone = "America/Montevideo" }

[[place]]
id = "H1"
kind = "hoop house"
lamps = { method = "night-break",  from  =  "22:00", to="02:00", kw = 0.9 }   # the long one

[[place]]   # by the river
id = "H2"
kind = "hoop house"
lamps.method = "clock"
lamps.from   = "05:00"   # Ana is up
lamps.to     = "05:00"   # to be settled

[[place]]
id = "H3"
kind = "hoop house"
[place.lamps]
"from" = "23:00" # after the film
to = "23:00"
from_whom = "Ben"
method = "extend"
"""
SOUND = (
    OLD.replace('lamps.to     = "05:00"', 'lamps.to     = "21:00"').split('\n[[place]]\nid = "H3"')[0] + "\n"
)


@pytest.fixture
def season(tmp_path: Path) -> Path:
    path = tmp_path / "two-rivers.toml"
    path.write_text(SOUND, encoding="utf-8")
    return path


def upgrade(path: Path):
    return upgrade_season(path, who="ana", when=WHEN)


def undo(path: Path):
    return undo_last(path, who="ana", when=WHEN, check=returning_problems)


def test_only_names_change_and_every_comment_stays_in_its_place(tmp_path: Path) -> None:
    path = tmp_path / "season.toml"
    path.write_text(OLD, encoding="utf-8")
    assert upgrade_of(path).made.text == (
        OLD.replace("format = 1 ", "format = 3 ")
        .replace('from  =  "22:00", to="02:00"', 'on  =  "22:00", off="02:00"')
        .replace("lamps.from   =", "lamps.on   =")
        .replace("lamps.to     =", "lamps.off     =")
        .replace('"from" =', "on =")
        .replace('\nto = "23:00"', '\noff = "23:00"')
    )


def test_the_old_file_is_kept_and_the_upgrade_is_one_change(season: Path) -> None:
    saved, kept = upgrade(season)
    assert kept == season.with_name("two-rivers.format1.toml")
    assert kept.read_text(encoding="utf-8") == SOUND
    assert load(season).data["format"] == FORMAT
    assert open_season(season).problems == ()
    (entry,) = read_history(season).entries
    assert (entry.n, entry.what, saved.n) == (1, f"upgraded to format {FORMAT}", 1)


def test_one_undo_gives_the_very_bytes_back_and_redo_the_upgrade(season: Path) -> None:
    new = upgrade(season)[0].text
    assert undo(season).exact
    assert season.read_text(encoding="utf-8") == SOUND
    redo_last(season, who="ana", when=WHEN, check=returning_problems)
    assert season.read_text(encoding="utf-8") == new


def test_an_undo_after_an_edit_by_hand_gives_the_fields_back(season: Path) -> None:
    upgrade(season)
    season.write_text(season.read_text(encoding="utf-8") + "# by hand\n", encoding="utf-8")
    assert not undo(season).exact
    assert season.read_text(encoding="utf-8") == SOUND + "# by hand\n"


def test_a_kept_file_is_never_written_over(season: Path) -> None:
    other = season.with_name("two-rivers.format1.toml")
    other.write_text("mine", encoding="utf-8")
    assert upgrade(season)[1] == season.with_name("two-rivers.format1-2.toml")
    assert other.read_text(encoding="utf-8") == "mine"
    undo(season)
    # The same bytes need no third copy.
    assert upgrade(season)[1] == season.with_name("two-rivers.format1-2.toml")


def test_a_second_upgrade_writes_nothing(season: Path) -> None:
    upgrade(season)
    files = left(season.parent)
    saved, kept = upgrade(season)
    assert (saved.n, kept) == (None, None)
    assert left(season.parent) == files


def test_the_real_file_is_upgraded_through_a_link(season: Path, tmp_path: Path) -> None:
    link = tmp_path / "links" / "season.toml"
    link.parent.mkdir()
    link.symlink_to(season)
    assert upgrade(link)[1] == season.with_name("two-rivers.format1.toml")
    assert link.is_symlink()
    assert load(season).data["format"] == FORMAT


def test_a_season_with_problems_is_not_upgraded_and_nothing_is_left(season: Path) -> None:
    season.write_text(SOUND.replace('"02:00"', '"22:00"'), encoding="utf-8")
    before = season.read_bytes()
    with pytest.raises(SeasonFileError, match=r"two-rivers\.toml:10: not saved: .*on and off"):
        upgrade(season)
    assert season.read_bytes() == before
    assert left(season.parent) == ["two-rivers.toml"]


def test_a_disk_that_fails_leaves_the_old_file_alone(season: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def fails(*_: object) -> None:
        raise OSError(28, os.strerror(28))

    monkeypatch.setattr(upgrading, "put_beside", fails)
    with pytest.raises(SeasonFileError, match="the disk is full"):
        upgrade(season)
    assert season.read_text(encoding="utf-8") == SOUND
    assert left(season.parent) == ["two-rivers.toml"]


TASK = Change("note", (Edit("set", "place", ("H1",), ("name",), "east"),))


@pytest.mark.parametrize(
    ("form", "said"),
    [(1, "calendar-tui upgrade"), (4, "this file is format 4; this program writes 3; get a newer program")],
)
def test_no_edit_is_saved_in_another_format(season: Path, form: int, said: str) -> None:
    season.write_text(SOUND.replace("format = 1", f"format = {form}"), encoding="utf-8")
    before = season.read_bytes()
    with pytest.raises(SeasonFileError, match=f"two-rivers.toml:2: not saved: .*{said}"):
        save_change(season, TASK, who="ana", when=WHEN, check=season_problems)
    assert season.read_bytes() == before


def test_a_newer_file_is_not_undone_nor_upgraded(season: Path) -> None:
    upgrade(season)
    season.write_text(
        season.read_text(encoding="utf-8").replace("format = 3", "format = 4"), encoding="utf-8"
    )
    for act in (undo, upgrade):
        with pytest.raises(SeasonFileError):
            act(season)


# --- two copies, one of them upgraded


def three(base: str, ours: str, theirs: str):
    sides = [
        Loaded(Path(name), text, _data(text)) for name, text in zip("abc", (base, ours, theirs), strict=True)
    ]
    return merged(*sides, lambda task, _: str(task["id"]), lambda *_: ())


def _data(text: str):
    return data_of(text)


def new_form(text: str) -> str:
    names = {"format = 1": "format = 3", "from  =  ": "on  =  ", 'to="': 'off="'}
    names |= {"lamps.from ": "lamps.on ", "lamps.to ": "lamps.off "}
    for old, new in names.items():
        text = text.replace(old, new)
    return text


LATER = SOUND.replace('"22:00"', '"22:30"')
NAMED = SOUND.replace('kind = "hoop house"\nlamps.', 'kind = "hoop house"\nname = "west"   # new\nlamps.')


@pytest.mark.parametrize(
    ("base", "ours", "theirs"),
    [
        (SOUND, LATER, new_form(NAMED)),
        (SOUND, new_form(LATER), NAMED),
        (SOUND, new_form(LATER), new_form(NAMED)),
        (new_form(SOUND), LATER, new_form(NAMED)),
    ],
    ids=["ours is old", "theirs is old", "the base is old", "only ours was taken back"],
)
def test_copies_of_two_formats_merge_into_the_newer(base: str, ours: str, theirs: str) -> None:
    found = three(base, ours, theirs)
    both = new_form(NAMED).replace('"22:00"', '"22:30"')
    assert found.conflicts == ()
    assert found.made.data == _data(both)
    assert found.made.text == both


def test_two_old_copies_merge_as_they_are() -> None:
    assert three(SOUND, LATER, NAMED).made.data["format"] == 1


def test_an_untouched_old_copy_takes_the_new_one_whole_and_can_be_undone(season: Path) -> None:
    found = three(SOUND, SOUND, new_form(NAMED))
    assert found.made.text == new_form(NAMED)
    assert outcome(found.made.data, found.made.back).data == _data(SOUND)
