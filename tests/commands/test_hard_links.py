"""A season with a second name in the file system: a save parts the two, and says so."""

from __future__ import annotations

import os
from pathlib import Path

from small_season import ids, run


def test_a_save_and_an_undo_say_that_the_other_name_keeps_the_text_from_before(season: Path) -> None:
    other = season.with_name("by-another-name.toml")
    os.link(season, other)
    before = season.read_bytes()
    ran = run("note", season, ids(season)[0], "look")
    assert (
        f"{season} had another name (hard links): there the season stays as it was before this save."
        in ran.err
    )
    assert other.read_bytes() == before != season.read_bytes()
    assert "hard link" not in run("note", season, ids(season)[0], "look again").err
    os.link(season, season.with_name("a-third-name.toml"))
    assert "hard link" in run("undo", season).err


def test_an_upgrade_says_that_the_other_name_keeps_the_text_from_before(season: Path) -> None:
    season.write_text(season.read_text().replace("format = 3", "format = 1"))
    other = season.with_name("by-another-name.toml")
    os.link(season, other)
    ran = run("upgrade", season, "--yes")
    assert ran.status == 0, ran.said
    assert f"{season} had another name (hard links)" in ran.err
    assert "format = 1" in other.read_text()


def test_a_merge_says_that_the_other_name_keeps_the_text_from_before(season: Path) -> None:
    base, theirs = (season.with_name(name) for name in ("base.toml", "theirs.toml"))
    base.write_bytes(season.read_bytes())
    theirs.write_text(season.read_text().replace("plants = 120", "plants = 99"))
    os.link(season, season.with_name("by-another-name.toml"))
    ran = run("merge", base, season, theirs)
    assert "plants = 99" in season.read_text()
    assert f"{season} had another name (hard links)" in ran.err
    assert "hard link" not in run("merge", base, season, theirs).err
