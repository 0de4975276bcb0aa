"""What others have changed in a season that is open: found in the history, or in the records where they wrote by hand."""

from __future__ import annotations

import os
from datetime import UTC, datetime
from pathlib import Path

import pytest

from calendar_tui.handing_on.words.news_text import news_text
from calendar_tui.season.edits import Change, Edit
from calendar_tui.storage.disk.beside import history_path
from calendar_tui.storage.history.undo import undo_last
from calendar_tui.storage.opening import Opened, open_season
from calendar_tui.storage.problems import SeasonFileError
from calendar_tui.storage.season_file import save_change
from calendar_tui.storage.watching import News, entries_between, last_number, read_anew, stamp_of
from tests.storage.three_versions import BASE

WHEN = datetime(2026, 11, 8, 7, 30, tzinfo=UTC)


@pytest.fixture
def season(tmp_path: Path) -> Path:
    path = tmp_path / "two-rivers.toml"
    path.write_text(BASE, encoding="utf-8")
    return path


def save(path: Path, n: int, who: str = "ben", cohort: str = "A1") -> None:
    edit = Edit("set", "cohort", (cohort,), ("plants",), n)
    save_change(path, Change(f"{cohort} {n} plants", (edit,)), who=who, when=WHEN)


def by_hand(path: Path, old: str, new: str) -> None:
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new), encoding="utf-8")


def news_of(held: Opened, last: int) -> News:
    return read_anew(held, last)[1]


def test_nothing_is_new_in_the_same_text(season: Path) -> None:
    held = open_season(season)
    season.write_text(BASE, encoding="utf-8")
    now, news = read_anew(held, 0)
    assert now is held
    assert not news


def test_the_same_text_without_a_station_is_not_read_again(
    season: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    held, read = open_season(season), []
    monkeypatch.setattr("calendar_tui.storage.watching.opened_from", lambda *words: read.append(words))
    assert read_anew(held, 0) == (held, News())
    assert read == []


def test_the_entries_since_are_found_from_any_state_of_the_file(season: Path) -> None:
    states = [(open_season(season), last_number(season))]
    for n in (1, 2, 3):
        save(season, n)
        states.append((open_season(season), last_number(season)))
    for done, (held, last) in enumerate(states):
        news = news_of(held, last)
        assert [entry.n for entry in news.entries] == [1, 2, 3][done:]
        assert news.by_hand is None
        assert bool(news) == (done < 3)


def test_an_undo_by_another_is_an_entry_too(season: Path) -> None:
    save(season, 1)
    held = open_season(season)
    undo_last(season, who="dora", when=WHEN)
    news = news_of(held, 1)
    assert news_text(news, "ana") == "dora changed this season: undo: A1 1 plants"


def test_an_edit_by_hand_between_entries_is_told_beside_them_and_not_as_theirs(season: Path) -> None:
    save(season, 1)
    held = open_season(season)
    by_hand(season, 'kind = "field"   # by the river', 'kind = "hoop house"')
    save(season, 2)
    news = news_of(held, 1)
    assert [entry.n for entry in news.entries] == [2]
    assert news.by_hand == (Edit("set", "place", ("F2",), ("kind",), "hoop house"),)
    assert news_text(news, "ana").splitlines() == [
        "ben changed this season: A1 2 plants",
        "Edited by hand: place F2 kind.",
    ]


def test_after_a_text_that_no_entry_knows_the_newer_numbers_count(season: Path) -> None:
    save(season, 1)
    by_hand(season, "# by the river", "# at the river")
    held, last = open_season(season), last_number(season)
    by_hand(season, "# at the river", "# over the river")
    save(season, 2)
    news = news_of(held, last)
    assert [entry.n for entry in news.entries] == [2]
    assert news.by_hand == ()


def test_a_comment_alone_is_an_edit_by_hand_without_records(season: Path) -> None:
    held = open_season(season)
    by_hand(season, "# by the river", "# at the river")
    assert news_text(news_of(held, 0), "ana") == "Edited by hand: comments, order or spacing only."


def test_a_history_that_cannot_be_read_hides_no_change(season: Path) -> None:
    held = open_season(season)
    history_path(season).mkdir()
    by_hand(season, "plants = 120", "plants = 130")
    now, news = read_anew(held, 0)
    assert now.season.cohorts["A1"].plants == 130
    assert news_text(news, "ana") == "Edited by hand: cohort A1 plants."
    assert last_number(season) == 0


@pytest.mark.parametrize("broken", ["[[", None], ids=["not TOML", "removed"])
def test_what_cannot_be_read_is_an_error_with_its_problem(season: Path, broken: str | None) -> None:
    held = open_season(season)
    if broken is None:
        season.unlink()
    else:
        season.write_text(broken, encoding="utf-8")
    with pytest.raises(SeasonFileError, match=r"two-rivers\.toml"):
        read_anew(held, 0)


def test_entries_between_two_numbers_leave_both_out(season: Path) -> None:
    for n in (1, 2, 3, 4):
        save(season, n)
    assert [e.n for e in entries_between(season, 1, 4)] == [2, 3]


# --- when to read


def test_the_stamp_differs_after_any_way_to_write(season: Path, tmp_path: Path) -> None:
    held = open_season(season)
    seen = [stamp_of(held)]
    assert stamp_of(held) == seen[0]
    season.write_text(BASE + "# more\n", encoding="utf-8")
    seen.append(stamp_of(held))
    other = tmp_path / "new"
    other.write_text(BASE + "# more\n", encoding="utf-8")
    os.utime(other, ns=(season.stat().st_atime_ns, season.stat().st_mtime_ns))
    os.replace(other, season)  # the same size and time, but another file
    seen.append(stamp_of(held))
    season.unlink()
    seen.append(stamp_of(held))
    assert len(set(seen)) == len(seen)


def test_the_stations_file_counts_and_a_name_that_leads_elsewhere_does_not(season: Path) -> None:
    by_hand(
        season, '[[place]]\nid = "F1"', '[station]\nfile = "days.csv"\nunit = "C"\n\n[[place]]\nid = "F1"'
    )
    held = open_season(season)
    before = stamp_of(held)
    season.with_name("days.csv").write_text("date,low,high\n2026-10-01,8,20\n")
    assert stamp_of(held) != before
    for name in ("../days.csv", "a\0b", 5, ""):
        odd = Opened(season, "", {"station": {"file": name}}, None, ())
        assert len(stamp_of(odd)) >= 3


def test_a_file_behind_a_link_is_looked_at_itself(season: Path, tmp_path: Path) -> None:
    link = tmp_path / "link.toml"
    link.symlink_to(season)
    held = open_season(link)
    before = stamp_of(held)
    save(season, 5)
    assert stamp_of(held) != before
    season.unlink()
    assert stamp_of(held) != before


# --- the words


def test_many_records_are_named_in_a_few_words(season: Path) -> None:
    held = open_season(season)
    save(season, 1)
    edits = tuple(Edit("set", "task", (f"t{n}",), ("state",), "done") for n in range(6))
    edits += (Edit("remove", "cohort", ("A2",)), Edit("set", "cohort", ("A1",), ("recorded", "harvest"), 1))
    entries = read_anew(held, 0)[1].entries
    assert news_text(News((), edits), "ana") == (
        "Edited by hand: task t0 state; task t1 state; task t2 state; and 5 more records."
    )
    assert news_text(News((), edits[6:]), "ana") == (
        "Edited by hand: cohort A2 taken away; cohort A1 recorded harvest."
    )
    assert news_text(News(entries), "ben") == "ben (elsewhere) changed this season: A1 1 plants"


def test_names_of_the_history_steer_no_terminal_and_stay_short(season: Path) -> None:
    held = open_season(season)
    change = Change("x\x1b[2J\n" * 100, (Edit("set", "cohort", ("A1",), ("plants",), 1),))
    save_change(season, change, who="b\x1b]0;en" * 30, when=WHEN)
    said = news_text(news_of(held, 0), "ana")
    assert said.isprintable()
    assert len(said) < 200
