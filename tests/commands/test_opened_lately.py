"""What the first screen offers of the seasons that were opened lately in other folders."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from small_season import PLAIN

from calendar_tui.commands.examples import MOST_LATELY, offers
from calendar_tui.screens.starting.choice import HERE, LATELY, Offer
from calendar_tui.storage.finding import example_files
from calendar_tui.storage.own.bookmarks import bookmarks_file, write_bookmark

Leave = Callable[..., Path]


@pytest.fixture
def leave(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Leave:
    """Makes a season in a folder and leaves it, as the full screen does."""
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    monkeypatch.setenv("HOME", str(tmp_path))

    def left(folder: str, name: str = "hill.toml", text: str = PLAIN) -> Path:
        path = tmp_path / folder / name
        path.parent.mkdir(exist_ok=True)
        path.write_text(text, encoding="utf-8")
        write_bookmark(bookmarks_file(), path, {})
        return path

    return left


def of(origin: str, folder: Path) -> list[Offer]:
    return [offer for offer in offers(folder) if offer.origin == origin]


def test_those_opened_last_are_offered_with_their_folder_newest_first(leave: Leave, tmp_path: Path) -> None:
    empty = tmp_path / "empty"
    empty.mkdir()
    assert of(LATELY, empty) == []
    paths = [leave(f"farm{n}") for n in range(MOST_LATELY + 2)]
    paths[-1].unlink()
    lately = of(LATELY, empty)
    assert [offer.path for offer in lately] == paths[1:-1][::-1]
    assert lately[0].about.startswith(f"in farm{MOST_LATELY}, ")
    assert lately[0].file == f"~/farm{MOST_LATELY}/hill.toml"
    assert not lately[0].example


def test_a_season_of_this_folder_and_an_example_are_offered_once(leave: Leave, tmp_path: Path) -> None:
    here, other = leave("here"), leave("here", "dale.toml")
    write_bookmark(bookmarks_file(), example_files()[0], {})
    assert of(LATELY, here.parent) == []
    assert {offer.path for offer in of(HERE, here.parent)} == {here, other}


def test_one_with_problems_is_offered_to_see_them(leave: Leave, tmp_path: Path) -> None:
    leave("hill", text=PLAIN.replace("latitude = -34.3", "latitude = -94.3"))
    (offer,) = of(LATELY, tmp_path)
    assert (offer.name, offer.about) == ("hill.toml", "has problems: 1")
