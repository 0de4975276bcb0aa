"""A season file in a folder of its own, and no today from outside."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from recording_farm import RECORDING
from small_season import run, with_tasks


@pytest.fixture(autouse=True)
def _no_today_from_outside(monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("CALENDAR_TUI_TODAY", "CALENDAR_TUI_DATES"):
        monkeypatch.delenv(name, raising=False)


@pytest.fixture(scope="session")
def season_text(tmp_path_factory: pytest.TempPathFactory) -> str:
    return with_tasks(tmp_path_factory.mktemp("made"))


@pytest.fixture
def season(tmp_path: Path, season_text: str) -> Path:
    """A file with tasks, alone in its folder."""
    path = tmp_path / "near-fields.toml"
    path.write_text(season_text, encoding="utf-8")
    return path


@pytest.fixture(scope="session")
def recording_folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("recording")
    path = folder / "near-fields.toml"
    path.write_text(RECORDING, encoding="utf-8")
    assert run("tasks", path, "--yes").status == 0
    return folder


@pytest.fixture
def farm(tmp_path: Path, recording_folder: Path) -> Path:
    """A file with tasks of which a tick of one records a stage, and its history."""
    shutil.copytree(recording_folder, tmp_path, dirs_exist_ok=True)
    return tmp_path / "near-fields.toml"
