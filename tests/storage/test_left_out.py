"""Records that are not asked for are left out of a text before it is parsed, and nothing else of it."""

from __future__ import annotations

from pathlib import Path

import pytest

from calendar_tui.storage.season_file import load, load_to_look
from calendar_tui.storage.toml.values import without_lines

ROW = '  { date = 2027-01-10, at = "K1-101", variable = "height", value = "%d" },\n'
TASK = 'task = [\n  { id = "m1", date = 2027-01-11, what = "Measure" },\n]\n'


def text(rows: str) -> str:
    return f"format = 3\n\n[records]\n{TASK}observation = [\n{rows}]\nbatch = [\n]\n"


def test_the_lines_of_observations_are_empty_and_all_else_keeps_its_line():
    whole = text("".join(ROW % n for n in range(3)) + "  # a comment\n")
    left = without_lines(whole, "observation")
    assert "K1-101" not in left
    assert "comment" not in left
    assert left.count("\n") == whole.count("\n")
    assert left.splitlines()[3:6] == whole.splitlines()[3:6]
    assert left.endswith("]\nbatch = [\n]\n")


@pytest.mark.parametrize(
    "whole",
    [
        text('  { date = 2027-01-10, at = "K1-101", value = """8\n4""" },\n'),
        f'note = """\n{text(ROW % 1)}"""\n',
        text(ROW % 1).replace("observation = [\n", "observation = [ # mine\n"),
        text(ROW % 1).replace("  { date", "{ date"),
        "format = 3\n",
    ],
)
def test_what_stands_in_another_form_stays_as_it_is(whole: str):
    assert without_lines(whole, "observation") == whole


def test_the_week_reads_a_file_as_it_is_but_for_its_observations(tmp_path: Path):
    path = tmp_path / "season.toml"
    path.write_text(text(ROW % 1))
    whole, left = load(path), load_to_look(path)
    assert left.text == whole.text
    assert {key: value for key, value in whole.data.items() if key != "observation"} == dict(left.data)
    assert len(whole.data["observation"]) == 1
