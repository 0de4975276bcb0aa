"""Sheets of labels, mm. Sizes: open label definitions or memory; margins: centred (computed)."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calendar_tui.handing_on.paper.label_sheets import SHEETS, label_places

ROWS = [
    ("a4-21", 63.5, 38.1, 3, 7, 7.25, 15.15, 66.0),
    ("a4-24", 63.5, 33.9, 3, 8, 7.25, 12.9, 66.0),
    ("a4-27", 63.5, 29.6, 3, 9, 7.25, 15.3, 66.0),
    ("a4-21-whole", 70, 42.3, 3, 7, 0, 0.45, 70),
    ("a4-40-whole", 52.5, 29.7, 4, 10, 0, 0, 52.5),
    ("letter-30", 66.675, 25.4, 3, 10, 4.76, 12.7, 69.85),
    ("letter-10", 101.6, 50.8, 2, 5, 4.37, 12.7, 105.57),
]


@pytest.mark.parametrize(("name", "width", "height", "columns", "rows", "left", "top", "pitch"), ROWS)
def test_the_rows_of_the_table(name, width, height, columns, rows, left, top, pitch):
    sheet = SHEETS[name]
    assert (sheet.label_w, sheet.label_h, sheet.columns, sheet.rows, sheet.pitch_x) == (
        width,
        height,
        columns,
        rows,
        pitch,
    )
    assert (sheet.left, sheet.top) == (pytest.approx(left, abs=0.006), pytest.approx(top, abs=0.006))


def test_every_sheet_has_its_row():
    assert list(SHEETS) == [row[0] for row in ROWS]


@pytest.mark.parametrize("sheet", SHEETS.values(), ids=SHEETS)
def test_labels_stand_on_the_paper_and_beside_one_another(sheet):
    places = list(label_places(sheet, sheet.labels))
    assert {place.page for place in places} == {1}
    assert len(set(places)) == sheet.labels
    assert sheet.pitch_x >= sheet.label_w
    for place in places:
        assert -1e-9 <= place.left <= sheet.paper_w - sheet.label_w + 1e-9
        assert -1e-9 <= place.top <= sheet.paper_h - sheet.label_h + 1e-9


def test_a_sheet_that_was_begun_goes_on_at_its_next_label():
    sheet = SHEETS["a4-21"]
    begun = list(label_places(sheet, 20, first=5))
    assert begun[0] == list(label_places(sheet, 21))[4]
    assert [place.page for place in begun] == [1] * 17 + [2] * 3
    assert begun[17] == next(label_places(sheet, 1))._replace(page=2)


def test_offsets_move_all_labels_alike():
    sheet = SHEETS["letter-30"]
    plain, moved = (list(label_places(sheet, 3, offset_x=x, offset_y=y)) for x, y in ((0, 0), (1.5, -2)))
    assert [(b.left - a.left, b.top - a.top) for a, b in zip(plain, moved, strict=True)] == [
        (pytest.approx(1.5), pytest.approx(-2))
    ] * 3


@pytest.mark.parametrize(
    ("keys", "words"),
    [
        ({"first": 0}, "the first label is 0; A4, 63.5 x 38.1 mm, 3 x 7 has 1 to 21"),
        ({"first": 22}, "the first label is 22"),
        ({"offset_x": 40}, "an offset of 40 mm right; it must be at most half a label, 31.75 mm"),
        ({"offset_y": float("nan")}, "an offset of nan mm down"),
    ],
)
def test_what_a_sheet_has_not_is_refused(keys, words):
    with pytest.raises(ValueError, match=words):
        next(label_places(SHEETS["a4-21"], 1, **keys))


@given(st.sampled_from(list(SHEETS.values())), st.integers(0, 200), st.data())
def test_no_two_labels_stand_in_one_place(sheet, labels, data):
    first = data.draw(st.integers(1, sheet.labels))
    places = list(label_places(sheet, labels, first=first))
    assert len(set(places)) == labels
    assert places == sorted(places, key=lambda place: (place.page, place.top, place.left))
