"""Names in letters of two cells, and with marks that take none: what stands beside them lines up all the same."""

from __future__ import annotations

from datetime import UTC, date, datetime
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rich.cells import cell_len
from rich.segment import Segment
from settling import settled
from small_app import SEASON

from calendar_tui.handing_on.words.plain_text import hanging, wrapped
from calendar_tui.screens.app import CalendarApp
from calendar_tui.screens.kit.canvas import Canvas, crop, fitted, restyled, text_of, width_of
from calendar_tui.screens.kit.drawing import clipped, names_row
from calendar_tui.screens.kit.drawing import wrapped as rows_of
from calendar_tui.screens.kit.spans import changed_spans
from calendar_tui.storage.opening import open_season

FAMILY = "\U0001f468\u200d\U0001f469\u200d\U0001f467"
NAMES = ["温室温室温室", "Größe", "e\u0301te\u0301 2026", f"{FAMILY} farm"]
WIDE_TEXT = st.text(st.sampled_from("ab温室e\u0301🌿 "), max_size=10).filter(
    lambda t: not t.startswith("\u0301")
)


def test_a_letter_of_two_cells_is_written_over_as_a_whole() -> None:
    canvas = Canvas(6, 1)
    canvas.put(0, 0, "温室温")
    canvas.put(1, 0, "ab")
    assert text_of(canvas.rows()[0]) == " ab 温"
    canvas.put(-1, 0, "温b")
    assert text_of(canvas.rows()[0]) == " bb 温"
    canvas.put(5, 0, "室")
    assert text_of(canvas.rows()[0]) == " bb   "


def test_marks_stand_in_the_cell_of_their_letter() -> None:
    canvas = Canvas(4, 1)
    canvas.put(1, 0, "e\u0301t")
    assert text_of(canvas.rows()[0]) == " e\u0301t "


def test_a_row_is_cut_between_letters() -> None:
    row = (("a温室", "x"), ("b", ""))
    assert crop(row, 0, 2) == (("a ", "x"),)
    assert crop(row, 2, 5) == ((" 室", "x"),)
    assert text_of(fitted(row, 5, "…")) == "a温 …"
    assert text_of(fitted(row, 8, "…")) == "a温室b  "
    assert text_of(restyled(row, 5, "y")) == "a温室b"


def test_a_letter_of_two_cells_that_changes_is_sent_whole() -> None:
    assert list(changed_spans((("a温", ""),), (("a室", ""),))) == [(1, 3)]
    assert list(changed_spans((("a温", ""),), (("abc", ""),))) == [(1, 3)]
    assert list(changed_spans((("温b", ""),), (("温c", ""),))) == [(2, 3)]


@given(
    st.lists(st.tuples(WIDE_TEXT, st.sampled_from("xy")), max_size=4), st.integers(0, 20), st.integers(0, 20)
)
def test_a_part_of_a_row_is_as_wide_as_asked_for(row: list[tuple[str, str]], first: int, cells: int) -> None:
    part = crop(tuple(row), first, first + cells)
    assert cell_len(text_of(part)) == max(min(width_of(tuple(row)), first + cells) - first, 0)
    assert cell_len(text_of(fitted(tuple(row), cells, "…"))) == max(cells, 0) or cells == 0


@given(WIDE_TEXT, st.integers(8, 20))
def test_lines_of_such_words_are_no_wider_than_asked_for(text: str, width: int) -> None:
    for lines in (wrapped(text, "  ", width, "- "), hanging(text, width)):
        assert all(cell_len(line) <= width for line in lines)
        assert "".join("".join(lines).split()).lstrip("-") == "".join(text.split())


def test_rows_of_a_view_are_no_wider_than_asked_for() -> None:
    rows = rows_of("温室" * 30 + " " + "a" * 5, 40, "! ")
    assert max(cell_len("".join(s.text for s in r.segments)) for r in rows) == 40
    names = names_row(["温室" * 6, "Größe", "F1", "F2"], "F1", 30)
    assert cell_len("".join(s.text for s in names.segments)) <= 30


def _renamed(text: str) -> str:
    """The season with letters of two cells in every name that a person gives."""
    for old, new in (
        ("Two Rivers", "双河 2026"),
        ("Stake the rows", "支柱 the rows"),
        ("Walk the lamps", "温 lamps"),
    ):
        text = text.replace(old, new)
    for old, new in (
        ("H2", "H温"),
        ("N1", "N室"),
        ("A1", "A温1"),
        ("A3", "A室3"),
        ("amber", "am温"),
        ("Ana", "安A"),
    ):
        text = text.replace(f'"{old}"', f'"{new}"')
    return text


def _in_two(text: str) -> str:
    """Each such letter as two letters of one cell."""
    return "".join(f"{'qz'[ord(c) % 2]}x" if cell_len(c) == 2 else c for c in text)


async def _drawn(path: Path, text: str, size: tuple[int, int]) -> dict[str, list[str]]:
    """What each view of a season shows, by the key that opens it."""
    path.write_text(text, encoding="utf-8")
    opened = open_season(path)
    assert opened.season is not None, opened.problems
    app = CalendarApp(opened, date(2026, 11, 5), "ana", lambda: datetime(2026, 11, 5, 9, tzinfo=UTC))
    drawn = {}
    async with app.run_test(size=size) as pilot:
        await settled(app, pilot)
        for key in ("", "w", "t", "h", "l", "n", "enter", "v", "c"):
            await pilot.press(*filter(None, [key]))
            await settled(app, pilot)
            drawn[key] = app.screen.text.splitlines()
            if key:
                await pilot.press("escape")
    return drawn


@pytest.mark.slow
@pytest.mark.parametrize("size", [(60, 20), (80, 24), (160, 45)], ids=str)
async def test_views_of_such_names_are_drawn_as_those_of_twice_as_many_letters(
    tmp_path: Path, size: tuple[int, int]
) -> None:
    wide = await _drawn(tmp_path / "a.toml", _renamed(SEASON), size)
    narrow = await _drawn(tmp_path / "a.toml", _in_two(_renamed(SEASON)), size)
    for key, lines in wide.items():
        for line, other in zip(lines, narrow[key], strict=True):
            # A letter of two cells that is cut leaves a blank before the mark.
            assert (
                _in_two(line).split("…")[0].rstrip()
                == other.split("…")[0].rstrip()[: len(_in_two(line).split("…")[0].rstrip())]
            ), key


@pytest.mark.slow
@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("size", [(60, 20), (80, 24), (160, 45)], ids=str)
async def test_the_season_of_such_a_name_fills_its_rows_exactly(
    tmp_path: Path, name: str, size: tuple[int, int]
) -> None:
    drawn = await _drawn(tmp_path / "a.toml", _renamed(SEASON).replace("双河 2026", name), size)
    assert {cell_len(line) for line in drawn[""]} == {size[0]}


@pytest.mark.parametrize(
    ("parts", "room", "shown"),
    [
        (["abc", "def"], 6, "abcdef"),
        (["abc", "def", "   "], 6, "abcdef   "),
        (["abc", "def"], 5, "abcd…"),
        (["abc", "def"], 3, "ab…"),
        (["温室", "温室"], 6, "温室…"),
        (["温室", "温室"], 5, "温室…"),
    ],
)
def test_a_row_that_has_no_room_ends_in_the_mark_for_what_is_cut(
    parts: list[str], room: int, shown: str
) -> None:
    row = clipped([Segment(part) for part in parts], room)
    assert "".join(part.text for part in row) == shown
    assert cell_len(shown.rstrip()) <= room
