"""Names in letters that take two cells of a terminal, and in letters of which several take one."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rich import cells as rich_cells

from calendar_tui.season.cells import (
    SINGLE,
    cell_len,
    cell_parts,
    cut_cells,
    cut_start,
    cut_text,
    dotted,
    filled,
    filled_before,
)

FAMILY = "\U0001f468\U0001f469\U0001f467"
WIDTHS = {
    "": 0,
    "H2": 2,
    "Größe": 5,
    "e\u0301te\u0301": 3,
    "温室": 4,
    "가지": 4,
    FAMILY: 6,
    "a温b": 4,
    "──▓…": 4,
}
LETTERS = st.text(st.sampled_from("ab─…ö\u0301温室가\U0001f468\U0001f33f\u2764\ufe0f"), max_size=12)


@pytest.mark.parametrize(("text", "width"), WIDTHS.items())
def test_a_text_takes_the_cells_that_a_terminal_gives_it(text: str, width: int) -> None:
    assert cell_len(text) == width
    assert len(cell_parts(text)) == width
    assert filled(text, 9) == text + " " * (9 - width)
    assert filled_before(text, 9) == " " * (9 - width) + text


def test_letters_held_to_take_one_cell_are_so_in_the_tables_of_the_screen() -> None:
    assert [char for char in SINGLE if rich_cells.get_character_cell_size(char) != 1] == []


def test_a_letter_of_two_cells_is_not_cut_in_half() -> None:
    assert cut_cells("温室", 3) == "温"
    assert cut_cells("a温", 2) == "a"
    assert cut_text("温室温室", 7) == "温室温…"
    assert cut_text("温室温室", 7, "...") == "温室..."
    assert cut_text("温室温室", 6, "…") == "温室…"
    assert cut_text("温室温室", 8) == "温室温室"
    assert cut_cells("温室", 1) == cut_cells("温室", 0) == cut_cells("温室", -1) == ""


def test_a_mark_stays_with_its_letter() -> None:
    assert cell_parts("e\u0301t") == ["e\u0301", "t"]
    assert cut_cells("ne\u0301t", 2) == "ne\u0301"
    assert cell_parts("\u0301") == []


def test_what_is_cut_at_its_start_keeps_its_end() -> None:
    assert cut_start("~/farm/hill.toml", 16) == "~/farm/hill.toml"
    assert cut_start("~/farm/hill.toml", 12) == "...hill.toml"
    assert [cut_start("~/farm/hill.toml", room) for room in (4, 3, 2, 0)] == ["...l", "...", "..", ""]
    assert [cut_start("~/温室e\u0301", room) for room in (5, 6, 7)] == [
        "...e\u0301",
        "...室e\u0301",
        "~/温室e\u0301",
    ]


@given(LETTERS, st.integers(0, 12))
def test_what_is_cut_and_filled_has_the_width_asked_for(text: str, room: int) -> None:
    cut = cut_cells(text, room)
    assert cut in text
    assert cell_len(cut) <= room
    assert cell_len(filled(cut, room)) == room
    assert cell_len("".join(cell_parts(text))) == len(cell_parts(text))


def test_where_there_is_no_mark_for_what_is_cut_as_many_dots_stand_in_place_of_the_last_letters() -> None:
    assert cut_text("lights off at dusk", 10) == "lights of…"
    assert dotted("lights of…  A1") == "lights ...  A1"
    assert dotted("a…") == ".."
    assert dotted("whole") == "whole"
