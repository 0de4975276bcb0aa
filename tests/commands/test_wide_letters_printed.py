"""What commands print of names in letters that take two cells of a terminal: every column and line is as of twice as many."""

from __future__ import annotations

import io
import sys
from pathlib import Path

import pytest
from rich.cells import cell_len
from small_season import run

from calendar_tui.commands.command_input import emit
from calendar_tui.season.cells import cut_text

PRINTED = (
    ("week",),
    ("today",),
    ("dates",),
    ("chart",),
    ("lamps",),
    ("quantities",),
    ("load",),
    ("cohort",),
    ("variety",),
    ("why", "A温", "trigger"),
)
NAMES = {"N1": "N室", "H1": "H温", "F1": "F畑", "amber": "am温", "A1": "A温", "B1": "B菊", "D1": "D日"}


def _renamed(text: str) -> str:
    for old, new in NAMES.items():
        text = text.replace(f'"{old}"', f'"{new}"')
    return text.replace("Near Fields", "近い畑")


def _in_two(text: str) -> str:
    """Each letter of two cells as two letters of one cell."""
    return "".join(f"{'qz'[ord(c) % 2]}x" if cell_len(c) == 2 else c for c in text)


@pytest.mark.parametrize("command", PRINTED, ids=" ".join)
def test_columns_and_lines_are_as_of_names_of_twice_as_many_letters(
    season: Path, command: tuple[str, ...]
) -> None:
    text = _renamed(season.read_text(encoding="utf-8"))
    season.write_text(text, encoding="utf-8")
    wide = run(command[0], season, *command[1:])
    season.write_text(_in_two(text), encoding="utf-8")
    narrow = run(command[0], season, *map(_in_two, command[1:]))
    assert (wide.status, wide.err) == (0, narrow.err)
    assert any(cell_len(char) == 2 for char in wide.out)
    assert _in_two(wide.out).splitlines() == narrow.out.splitlines()


@pytest.mark.parametrize(("encoding", "end"), [("utf-8", "…"), ("ascii", "...")])
def test_what_is_cut_ends_as_on_screen_where_the_output_has_that_letter(
    monkeypatch: pytest.MonkeyPatch, encoding: str, end: str
) -> None:
    out = io.TextIOWrapper(io.BytesIO(), encoding=encoding)
    monkeypatch.setattr(sys, "stdout", out)
    emit([cut_text("Transplant by hand; water in", 12)])
    out.flush()
    (line,) = out.buffer.getvalue().decode(encoding).splitlines()
    assert line.endswith(end)
    assert len(line) == 12
