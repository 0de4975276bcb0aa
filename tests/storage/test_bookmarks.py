"""Where seasons were left: kept whole, small, and of no harm where it is broken."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from calendar_tui.storage.own.bookmarks import (
    MOST_BYTES,
    MOST_SEASONS,
    bookmarks_file,
    read_bookmark,
    seasons_left,
    write_bookmark,
)
from calendar_tui.storage.problems import SeasonFileError


@pytest.fixture
def file(tmp_path: Path) -> Path:
    return tmp_path / "own" / "left.json"


def test_what_was_kept_is_read_again_by_any_way_to_the_season(file: Path, tmp_path: Path) -> None:
    season, other = tmp_path / "two.toml", tmp_path / "three.toml"
    season.touch()
    (tmp_path / "link.toml").symlink_to(season)
    write_bookmark(file, season, {"cohort": "Ä1", "folded": ["H1"]})
    write_bookmark(file, other, {"cohort": "B1"})
    assert read_bookmark(file, tmp_path / "link.toml") == {"cohort": "Ä1", "folded": ["H1"]}
    assert read_bookmark(file, other) == {"cohort": "B1"}
    assert read_bookmark(file, tmp_path / "none.toml") == {}
    assert [f.name for f in file.parent.iterdir()] == ["left.json"]


def test_only_the_seasons_left_last_are_kept(file: Path, tmp_path: Path) -> None:
    for n in range(MOST_SEASONS + 3):
        write_bookmark(file, tmp_path / f"{n}.toml", {"cohort": f"A{n}"})
    write_bookmark(file, tmp_path / "3.toml", {"cohort": "again"})
    write_bookmark(file, tmp_path / "new.toml", {})
    kept = [Path(name).stem for name in json.loads(file.read_text(encoding="utf-8"))]
    assert kept == [*map(str, range(5, MOST_SEASONS + 3)), "3", "new"]


def test_the_seasons_that_are_still_there_come_newest_first(file: Path, tmp_path: Path) -> None:
    closed = tmp_path / "closed"
    closed.mkdir()
    seasons = [tmp_path / "a.toml", tmp_path / "gone.toml", closed / "c.toml", tmp_path / "b.toml"]
    for season in seasons:
        season.write_text("[season]\n", encoding="utf-8")
        write_bookmark(file, season, {})
    (tmp_path / "other.toml").write_text("[tool]\n", encoding="utf-8")
    write_bookmark(file, tmp_path / "other.toml", {})
    write_bookmark(file, seasons[0], {})
    seasons[1].unlink()
    assert [path.name for path in seasons_left(file)] == ["a.toml", "b.toml", "c.toml"]
    closed.rename(tmp_path / "moved")
    assert [path.name for path in seasons_left(file)] == ["a.toml", "b.toml"]


def test_a_season_in_a_folder_that_cannot_be_entered_is_not_there(
    file: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    season = tmp_path / "a.toml"
    season.write_text("[season]\n", encoding="utf-8")
    write_bookmark(file, season, {})
    assert [*seasons_left(file)] == [season]

    def refused(path: Path) -> bool:
        raise PermissionError

    monkeypatch.setattr(Path, "is_file", refused)
    assert [*seasons_left(file)] == []


def test_what_would_be_too_large_to_be_read_again_pushes_the_oldest_out(file: Path, tmp_path: Path) -> None:
    large = {"folded": ["H" * 100] * (MOST_BYTES // 250)}
    for n in range(4):
        write_bookmark(file, tmp_path / f"{n}.toml", large)
    assert file.stat().st_size <= MOST_BYTES
    assert read_bookmark(file, tmp_path / "3.toml") == large
    assert read_bookmark(file, tmp_path / "0.toml") == {}
    write_bookmark(file, tmp_path / "4.toml", {"folded": ["H" * MOST_BYTES]})
    assert read_bookmark(file, tmp_path / "4.toml") == {}
    assert file.stat().st_size <= MOST_BYTES


@pytest.mark.parametrize(
    "content",
    [b"", b"{", b"[]", b"3", b"\xff\xfe\x00", b"[" * 100_000, b'{"x": 1}', b" " * MOST_BYTES + b"{}"],
)
def test_a_broken_file_counts_as_none_and_is_written_anew(file: Path, tmp_path: Path, content: bytes) -> None:
    season = tmp_path / "two.toml"
    file.parent.mkdir()
    file.write_bytes(content)
    assert read_bookmark(file, season) == {}
    write_bookmark(file, season, {"cohort": "A1"})
    assert read_bookmark(file, season) == {"cohort": "A1"}


def test_what_is_kept_of_a_season_in_another_shape_counts_as_nothing(file: Path, tmp_path: Path) -> None:
    season = tmp_path / "two.toml"
    write_bookmark(file, season, {})
    file.write_text(json.dumps({str(season): ["A1"]}), encoding="utf-8")
    assert read_bookmark(file, season) == {}


def test_where_nothing_can_be_kept_it_is_refused_and_nothing_is_left_behind(tmp_path: Path) -> None:
    (tmp_path / "own").write_text("a file, no folder", encoding="utf-8")
    with pytest.raises(SeasonFileError, match="own: cannot be made"):
        write_bookmark(tmp_path / "own" / "left.json", tmp_path / "two.toml", {})
    assert [f.name for f in tmp_path.iterdir()] == ["own"]


def test_the_file_lies_in_the_persons_state_folder(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path))
    assert bookmarks_file() == tmp_path / "calendar-tui" / "left.json"
