"""Seasons of an older and of a newer format on the full screen."""

from __future__ import annotations

import pytest
from season_on_disk import TEXT, app_of, notes, plants
from settling import settled

from calendar_tui.screens.pages.problems_view import ProblemsView
from calendar_tui.screens.pages.upgrade_view import UpgradeView
from calendar_tui.screens.season.view import SeasonView
from calendar_tui.season.edits import Change, Edit
from calendar_tui.storage.history.undo import read_history
from calendar_tui.storage.upgrading import upgrade_season

MORE = Change("30 plants", (Edit("set", "cohort", ("A1",), ("plants",), 30),))


@pytest.fixture
def old(tmp_path):
    path = tmp_path / "two.toml"
    path.write_text(TEXT.replace("format = 3", "format = 1"), encoding="utf-8")
    return path


async def asked(app, pilot):
    await settled(app, pilot)
    assert "format 1, upgraded in memory" in app.screen.text
    app.save(MORE)
    await settled(app, pilot)
    assert isinstance(app.screen, UpgradeView)
    return app.screen


async def test_the_first_save_asks_and_upgrades(old):
    before = old.read_bytes()
    app = app_of(old)
    async with app.run_test(size=(80, 24)) as pilot:
        view = await asked(app, pilot)
        for words in (
            "Upgrade the file from format 1 to 3?",
            "30 plants",
            "two.format1.toml",
            "+ format = 3",
        ):
            assert words in view.text
        assert old.read_bytes() == before
        await pilot.press("y")
        await settled(app, pilot)
        assert isinstance(app.screen, SeasonView)
        assert "format" not in app.screen.text.splitlines()[0]
        assert "Saved: 30 plants" in notes(app)[-1]
    assert plants(old) == 30
    assert [e.what for e in read_history(old).entries] == ["upgraded to format 3", "30 plants"]
    assert old.with_name("two.format1.toml").read_bytes() == before


@pytest.mark.parametrize("key", ["n", "escape"])
async def test_without_consent_nothing_is_written(old, key):
    before = old.read_bytes()
    app = app_of(old)
    async with app.run_test(size=(80, 24)) as pilot:
        await asked(app, pilot)
        await pilot.press(key)
        await settled(app, pilot)
        assert notes(app)[-1] == "Nothing is saved."
        assert isinstance(app.screen, SeasonView)
    assert (old.read_bytes(), [p.name for p in old.parent.iterdir()]) == (before, ["two.toml"])


@pytest.mark.slow
async def test_a_question_put_by_a_view_that_leaves_comes_after_it(old):
    app = app_of(old)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        await pilot.press("r")
        await settled(app, pilot)
        app.screen._list.key = "seeding"
        app.screen._input.value = "2026-10-05"
        await pilot.press("enter")
        await settled(app, pilot)
        await pilot.press("y")
        await settled(app, pilot)
        assert isinstance(app.screen, UpgradeView)
        await pilot.press("y")
        await settled(app, pilot)
        assert isinstance(app.screen, SeasonView)
    assert "recorded = { seeding = 2026-10-05 }" in old.read_text(encoding="utf-8")


async def test_a_newer_file_is_shown_and_every_edit_refused(tmp_path):
    path = tmp_path / "two.toml"
    path.write_text(TEXT.replace("format = 3", "format = 4"), encoding="utf-8")
    before = path.read_bytes()
    app = app_of(path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        assert "format 4, read-only" in app.screen.text.splitlines()[0]
        assert "record" not in app.screen.text.splitlines()[-1]
        await pilot.press("r")
        app.save(MORE)
        await settled(app, pilot)
        assert isinstance(app.screen, SeasonView)
        said = "this file is format 4; this program writes 3; get a newer program"
        assert all(said in note for note in notes(app)[-2:])
    assert path.read_bytes() == before


async def test_a_tick_waits_for_the_answer_and_is_saved_after_it(old):
    app = app_of(old)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        await pilot.press("w", "space")
        await settled(app, pilot)
        assert isinstance(app.screen, UpgradeView)
        await pilot.press("y")
        await settled(app, pilot)
        assert "[x]" in app.screen.text
    assert 'state = "done"' in old.read_text(encoding="utf-8")


async def test_somebody_elses_upgrade_is_told_and_needs_no_question(old):
    app = app_of(old)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        upgrade_season(old, who="ben", when=app.now())
        app.look()
        await settled(app, pilot)
        assert notes(app) == ["ben changed this season: upgraded to format 3"]
        assert "format" not in app.screen.text.splitlines()[0]
        app.save(MORE)
        await settled(app, pilot)
        assert isinstance(app.screen, SeasonView)
    assert plants(old) == 30


async def test_an_upgrade_that_cannot_be_says_why_and_asks_nothing(old):
    text = old.read_text(encoding="utf-8")
    own = 'lamps = { target_h = 16.0, from = "22:00", on = "a hook" }'
    old.write_text(text.replace("lamps = { target_h = 16.0 }", own), encoding="utf-8")
    app = app_of(old)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        assert isinstance(app.screen, ProblemsView)
        assert "keep one of the two" in " ".join(app.screen.text.split())


async def test_a_newer_program_that_upgrades_meanwhile_ends_the_saving(tmp_path):
    path = tmp_path / "two.toml"
    path.write_text(TEXT, encoding="utf-8")
    app = app_of(path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        path.write_text(TEXT.replace("format = 3", "format = 4"), encoding="utf-8")
        before = path.read_bytes()
        app.save(MORE)
        await settled(app, pilot)
        assert "get a newer program" in notes(app)[-1]
        assert "format 4, read-only" in app.screen.text.splitlines()[0]
    assert path.read_bytes() == before
