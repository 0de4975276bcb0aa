"""Undo and redo as commands: any number of steps, each time in a program started anew."""

from __future__ import annotations

import pytest
from small_season import ids, refused_quietly, run


@pytest.fixture
def ticked(season):
    """A season in which two tasks are ticked, and its text before each change."""
    texts = [season.read_text()]
    for name in ids(season)[:2]:
        assert run("done", season, name).status == 0
        texts.append(season.read_text())
    return season, texts


def test_undo_and_redo_take_one_step_or_as_many_as_asked_for(ticked):
    season, texts = ticked
    ran = run("undo", season)
    assert (ran.status, ran.out.count("Undone: ticked "), season.read_text()) == (0, 1, texts[1])
    ran = run("redo", season)
    assert (ran.status, ran.out.count("Redone: ticked "), season.read_text()) == (0, 1, texts[2])
    ran = run("undo", season, "2")
    assert (ran.status, ran.out.count("Undone: ticked "), season.read_text()) == (0, 2, texts[0])
    ran = run("redo", season, "2")
    assert (ran.status, ran.out.count("Redone: ticked "), season.read_text()) == (0, 2, texts[2])


def test_more_steps_than_there_are_do_nothing(ticked):
    season, texts = ticked
    ran = run("undo", season, "7")
    assert (ran.status, season.read_text()) == (2, texts[2])
    assert "only 2 changes can be undone, and 7 were asked for, so nothing is undone" in ran.err
    ran = run("redo", season)
    assert ran.status == 2
    assert "there is nothing to redo" in ran.err


@pytest.mark.parametrize("word", ["0", "-1", "two", "1.5", "٣", "9" * 400])
def test_a_number_that_is_none_is_said(ticked, word):
    season, texts = ticked
    ran = run("undo", season, "--", word) if word == "-1" else run("undo", season, word)
    assert (ran.status, season.read_text()) == (2, texts[2])
    refused_quietly(ran.said)


def test_an_edit_by_hand_is_told(ticked):
    season, _ = ticked
    season.write_text("# by hand\n" + season.read_text())
    assert "edited by hand since" in run("undo", season).out
