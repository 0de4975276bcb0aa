"""Where a person's own files lie: on Linux worked out here, and what platformdirs gives; elsewhere what it gives."""

from __future__ import annotations

import sys
from pathlib import Path

import platformdirs
import pytest

from calendar_tui.storage.own.folders import CONFIG, STATE, own_folder

KINDS = [CONFIG, STATE]


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind[0])
@pytest.mark.parametrize(
    ("given", "home"),
    [
        (None, "/home/ana"),
        ("/srv/own", "/home/ana"),
        ("", "/home/ana"),
        ("own", "/home/ana"),
        ("~/own", "/home/ana"),
        ("/srv/own/", "/home/ana"),
        (None, None),
        (None, "ana"),
    ],
)
def test_it_is_the_folder_that_platformdirs_gives(
    kind: tuple[str, str, str], given: str | None, home: str | None, monkeypatch: pytest.MonkeyPatch
) -> None:
    for name, value in ((kind[0], given), ("HOME", home)):
        if value is None:
            monkeypatch.delenv(name, raising=False)
        else:
            monkeypatch.setenv(name, value)
    assert own_folder(kind) == Path(getattr(platformdirs, kind[2])("calendar-tui", appauthor=False))


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind[0])
def test_on_another_system_platformdirs_is_asked(
    kind: tuple[str, str, str], monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setattr(sys, "platform", "darwin")
    monkeypatch.setattr(platformdirs, kind[2], lambda name, appauthor: f"{tmp_path}/{name}")
    assert own_folder(kind) == tmp_path / "calendar-tui"
