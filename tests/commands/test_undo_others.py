"""Undo and redo typed where another person has saved too: never theirs by chance."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest
from small_season import run

from calendar_tui.commands import history as history_commands
from calendar_tui.season.edits import Change, Edit
from calendar_tui.storage.history.undo import read_history
from calendar_tui.storage.season_file import save_change

NOW = datetime(2026, 11, 9, 12, tzinfo=UTC)


@pytest.fixture
def season(season, monkeypatch):
    monkeypatch.setattr(history_commands, "now", lambda: NOW)
    monkeypatch.setattr(history_commands, "who", lambda: "ben")
    return season


def save(season, who, cohort, plants, hours):
    edit = Edit("set", "cohort", (cohort,), ("plants",), plants)
    change = Change(f"{cohort} has {plants} plants", (edit,))
    return save_change(season, change, who=who, when=NOW - timedelta(hours=hours)).n


def standing(season):
    return [change.n for change in read_history(season).done]


def test_another_persons_newest_change_is_named_with_its_age_and_asked_about(season):
    save(season, "ana", "B1", 40, hours=2)
    ran = run("undo", season, typed="\n")
    assert "ana, 2 h ago: B1 has 40 plants" in ran.out
    assert "Undo it? [y/N]" in ran.out
    assert "Nothing is undone." in ran.out
    assert (ran.status, standing(season)) == (0, [1])
    ran = run("undo", season, typed="y\n")
    assert "Undone: B1 has 40 plants" in ran.out
    assert (ran.status, standing(season)) == (0, [])


def test_where_nobody_can_answer_it_stays(season):
    save(season, "ana", "B1", 40, hours=2)
    ran = run("undo", season)
    assert "add --yes" in ran.err
    assert (ran.status, standing(season)) == (2, [1])
    assert (run("undo", season, "--yes").status, standing(season)) == (0, [])


def test_ones_own_is_taken_unasked_and_the_newer_one_is_named(season):
    save(season, "ben", "B1", 40, hours=3)
    save(season, "ana", "A1", 99, hours=2)
    ran = run("undo", season)
    assert ran.out.splitlines() == [
        "Undone: B1 has 40 plants",
        "The newer change 2 of ana stays: A1 has 99 plants",
    ]
    assert (ran.status, standing(season)) == (0, [2])


def test_one_change_is_named_by_its_number(season):
    save(season, "ben", "B1", 40, hours=30)
    save(season, "ana", "A1", 99, hours=2)
    assert "Undone: B1 has 40 plants" in run("undo", season, "--change", "1").out
    assert standing(season) == [2]
    ran = run("redo", season, "--change", "1")
    assert "Redone: B1 has 40 plants" in ran.out
    ran = run("undo", season, "--change", "7")
    assert (ran.status, "change 7" in ran.err) == (2, True)
    ran = run("undo", season, "2", "--change", "1")
    assert ran.status == 2


def test_what_another_person_undid_is_asked_about_before_it_comes_back(season, monkeypatch):
    save(season, "ben", "B1", 40, hours=3)
    monkeypatch.setattr(history_commands, "who", lambda: "ana")
    assert run("undo", season, "--yes").status == 0
    monkeypatch.setattr(history_commands, "who", lambda: "ben")
    ran = run("redo", season, typed="n\n")
    assert "ana, just now: undid B1 has 40 plants" in ran.out
    assert "Bring it back? [y/N]" in ran.out
    assert standing(season) == []


def test_several_are_asked_about_at_once(season):
    save(season, "ana", "B1", 40, hours=2)
    save(season, "cleo", "A1", 99, hours=50)
    ran = run("undo", season, "2", typed="y\n")
    assert "cleo, 2 d ago: A1 has 99 plants" in ran.out
    assert "ana, 2 h ago: B1 has 40 plants" in ran.out
    assert "Undo them? [y/N]" in ran.out
    assert standing(season) == []


def test_many_newer_changes_of_ones_own_are_counted(season):
    save(season, "ben", "B1", 40, hours=30)
    for plants in range(95, 100):
        save(season, "ana", "A1", plants, hours=2)
        save(season, "ben", "A1", plants + 10, hours=2)
    ran = run("undo", season, "--change", "1", "--yes")
    assert len(ran.out.splitlines()) == 7
    assert ran.out.endswith("\n5 newer changes of your own stay.\n")
    assert ran.out.count("of ana stays") == 5 or ran.out.count("of ben stays") == 5


@pytest.mark.parametrize(("way", "done"), [("undo", "undone"), ("redo", "redone")])
def test_a_change_that_is_not_in_the_history_is_not_there(season, way, done):
    save(season, "ben", "B1", 40, hours=3)
    ran = run(way, season, "--change", "99")
    assert (ran.status, ran.out, standing(season)) == (2, "", [1])
    assert f"there is no change 99 in its history; nothing is {done}" in ran.err


def test_a_change_that_stands_is_there_and_cannot_be_redone(season):
    save(season, "ben", "B1", 40, hours=3)
    assert "change 1 is not undone; nothing is redone" in run("redo", season, "--change", "1").err
