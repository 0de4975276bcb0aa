"""The season file opened in one's own editor at the right line, and read again after."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest
from season_on_disk import app_of, season
from settling import settled

from calendar_tui.screens.kit.editor import editor_command, editor_set
from calendar_tui.screens.pages.editor_view import EditorView
from calendar_tui.screens.season.view import SeasonView

__all__ = ["season"]


@pytest.mark.parametrize(
    ("editor", "command"),
    [
        ("vim", ["vim", "+12", "a.toml"]),
        ("/usr/bin/nano -w", ["/usr/bin/nano", "-w", "+12", "a.toml"]),
        ("code", ["code", "--wait", "--goto", "a.toml:12"]),
        ("hx", ["hx", "a.toml:12"]),
        ("my-editor", ["my-editor", "a.toml"]),
    ],
)
def test_each_editor_is_told_the_line_as_it_takes_it(editor: str, command: list[str]) -> None:
    assert editor_command(editor, "a.toml", 12) == command


def test_visual_goes_before_editor_and_blanks_are_none() -> None:
    assert editor_set({"VISUAL": "vim", "EDITOR": "nano"}) == "vim"
    assert editor_set({"VISUAL": " ", "EDITOR": "nano"}) == "nano"


def _lent(app: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    """A terminal that can be lent: the tests have none."""

    @contextmanager
    def suspend() -> Iterator[None]:
        yield

    monkeypatch.setattr(app, "suspend", suspend)


def _editor(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, script: str) -> None:
    program = tmp_path / "vi"
    program.write_text(f"#!/bin/sh\n{script}\n", encoding="utf-8")
    program.chmod(0o755)
    monkeypatch.setenv("VISUAL", str(program))


async def test_the_file_opens_at_the_selected_cohort_and_is_read_again(
    season: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    _editor(tmp_path, monkeypatch, f'echo "$@" > {tmp_path}/told; sed -i "s/plants = .*/plants = 77/" "$2"')
    app = app_of(season)
    _lent(app, monkeypatch)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        await pilot.press("E")
        await settled(app, pilot)
        line = season.read_text(encoding="utf-8").splitlines().index("[[cohort]]") + 1
        assert (tmp_path / "told").read_text(encoding="utf-8") == f"+{line} {season}\n"
        assert isinstance(app.screen, SeasonView)
        assert app.plan is not None
        assert app.plan.season.cohorts["A1"].plants == 77


async def test_an_editor_that_is_not_there_is_told(season: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("VISUAL", "no-such-editor-here")
    app = app_of(season)
    _lent(app, monkeypatch)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        await pilot.press("E")
        await settled(app, pilot)
        assert isinstance(app.screen, EditorView)
        assert "no-such-editor-here cannot be started" in " ".join(app.screen.text.split())
        await pilot.press("escape")
        await settled(app, pilot)
        assert isinstance(app.screen, SeasonView)


async def test_where_the_terminal_cannot_be_lent_that_is_told(
    season: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("VISUAL", "vi")
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        await pilot.press("E")
        await settled(app, pilot)
        assert "cannot be lent" in app.screen.text


@pytest.mark.slow
async def test_from_the_problems_of_a_file_the_editor_opens_at_the_first(
    season: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    whole = season.read_text(encoding="utf-8")
    season.write_text(whole.replace("plants = ", "plants = -"), encoding="utf-8")
    _editor(tmp_path, monkeypatch, f'echo "$1" > {tmp_path}/told; sed -i "s/plants = -/plants = /" "$2"')
    app = app_of(season)
    _lent(app, monkeypatch)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        assert "problem" in app.screen.text
        await pilot.press("E")
        await settled(app, pilot)
        line = next(n for n, text in enumerate(whole.splitlines(), 1) if text.startswith("plants = "))
        assert (tmp_path / "told").read_text(encoding="utf-8") == f"+{line}\n"
        assert isinstance(app.screen, SeasonView)
