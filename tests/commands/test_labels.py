"""Labels for bags: what stands on them and where, codes that a second library reads back, sheets, offsets, the custody sheet."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from page_reading import Page, codes_of, stands_alone
from sampled_season import BY_PLOT, TODAY, sampled_season
from small_season import run

from calendar_tui.commands.labels import find_sheet
from calendar_tui.handing_on.paper.codes import MODULE_MM, QUIET, SquareCode, square_code
from calendar_tui.handing_on.paper.custody import BAG_COLUMNS
from calendar_tui.handing_on.paper.label_sheets import SHEETS
from calendar_tui.handing_on.paper.labels import LabelText, Part, label_parts
from calendar_tui.handing_on.paper.markup import SHEET_PAPERS, Paper, width_of
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.sample_ids import ALPHABET, check_sign, grouped
from tests.season_data import data_of

SMALLEST = SquareCode(1, ((True,) * 21,) * 21)
TEXT = LabelText(
    "K7Q2RY",
    ("A1 amber", "top H2 east, 5 plants", "Tue 16 Mar 2027", "~20 d after flowering", "by"),
)
OF_PLOT = TEXT._replace(beside="1203")
TAGGED = TEXT._replace(lines=(*TEXT.lines, "tagged 3 9 14 20 31"))


@pytest.fixture
def season(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    return sampled_season(tmp_path)


def cut(season: Path, *words: str) -> list[str]:
    ran = run("sample", season, *(words or ("trip",)), "--yes", today=TODAY)
    assert ran.status == 0, ran.said
    return [bag["id"] for bag in data_of(season.read_text())["sample"]]


def labels(season: Path, *words: str) -> str:
    ran = run("labels", season, *words, "--yes", today=TODAY)
    assert ran.status == 0, ran.said
    return " ".join(ran.out.split())


def refused(season: Path, *words: str) -> str:
    ran = run("labels", season, *words, "--yes", today=TODAY)
    assert ran.status != 0
    return " ".join(ran.said.split())


# --- codes


@pytest.mark.needs("segno")
@pytest.mark.parametrize(
    ("text", "level", "version"),
    [
        ("A" * 16, "q", 1),
        ("A" * 17, "q", 2),
        ("K7Q-2RY", "q", 1),
        ("A" * 20, "m", 1),
        ("A" * 21, "m", 2),
        ("A" * 10, "h", 1),
        ("A" * 11, "h", 2),
        ("k7q2ry-k7q2r", "q", 2),
    ],
)
def test_a_code_is_as_large_as_its_text_needs(text: str, level: str, version: int) -> None:
    code = square_code(text, level)
    assert (code.version, code.modules) == (version, 17 + 4 * version)


@pytest.mark.needs("segno")
def test_the_code_of_an_id_is_14_5_mm_with_its_quiet_zone() -> None:
    code = square_code("K7Q2RY")
    # At the level of labels 16 signs are the most of the smallest code, at that below 20.
    assert (square_code("A" * 16).version, square_code("A" * 17).version) == (1, 2)
    assert (MODULE_MM, QUIET, code.modules * MODULE_MM, code.side_mm) == (0.5, 4, 10.5, 14.5)


@pytest.mark.needs("segno", "zxingcpp", "PIL", "numpy")
@given(st.lists(st.sampled_from(ALPHABET), min_size=5, max_size=15).map("".join))
def test_a_code_is_read_back_by_another_library(body: str) -> None:
    import numpy as np
    import zxingcpp

    name = body + check_sign(body)
    code = square_code(name)
    picture = np.pad(np.array(code.rows, dtype=np.uint8), QUIET)
    picture = np.kron(255 * (1 - picture), np.ones((6, 6), dtype=np.uint8)).astype(np.uint8)
    (read,) = zxingcpp.read_barcodes(picture)
    assert read.text == name


@pytest.mark.needs("segno", "zxingcpp", "PIL")
def test_the_code_is_read_back_from_what_the_page_draws(season: Path) -> None:
    ids = cut(season)
    labels(season)
    assert codes_of(Page(season.parent / "season-labels.html")) == ids


# --- where things stand


def overlap(one: Part, other: Part) -> bool:
    eps = 1e-6
    return (
        one.left + one.width > other.left + eps
        and other.left + other.width > one.left + eps
        and one.top + one.height > other.top + eps
        and other.top + other.height > one.top + eps
    )


@pytest.mark.parametrize("sheet", SHEETS.values(), ids=SHEETS)
@pytest.mark.parametrize("code", [None, SMALLEST], ids=["plain", "coded"])
@pytest.mark.parametrize("text", [TEXT, OF_PLOT], ids=["of a lot", "of a plot"])
def test_all_of_a_label_stands_on_it_and_nothing_on_anything_else(sheet, code, text) -> None:  # type: ignore[no-untyped-def]
    parts = label_parts(sheet, text, code)
    for part in parts:
        assert part.left >= 0
        assert part.top >= 0
        assert part.left + part.width <= sheet.label_w + 1e-9
        assert part.top + part.height <= sheet.label_h + 1e-9
    assert not [(a, b) for a in parts for b in parts if a is not b and overlap(a, b)]


@pytest.mark.parametrize("text", [TEXT, TAGGED, OF_PLOT], ids=["plain", "tagged", "of a plot"])
@pytest.mark.parametrize("sheet", SHEETS.values(), ids=SHEETS)
def test_texts_are_whole_and_lines_as_high_as_their_letters(sheet, text) -> None:  # type: ignore[no-untyped-def]
    parts = label_parts(sheet, text, SMALLEST)
    (name,) = [part for part in parts if part.kind == "id"]
    # 12 pt or more.
    assert name.text == "K7Q-2RY"
    assert name.height >= 12 * 25.4 / 72
    assert width_of(name.text, name.height / 1.2) <= name.width
    lines = [part for part in parts if part.kind in ("line", "sign", "notice")]
    assert [part.text for part in lines] == [*text.lines, "PRE-TEST, NOT OFFICIAL"]
    # A line more, on the lowest label, has letters a little smaller.
    assert all(part.height >= (2.3 if text is TAGGED else 2.5) for part in lines)


@pytest.mark.parametrize("sheet", SHEETS.values(), ids=SHEETS)
def test_the_number_of_a_plot_stands_whole_beside_the_id_and_as_large(sheet) -> None:  # type: ignore[no-untyped-def]
    by_kind = {part.kind: part for part in label_parts(sheet, OF_PLOT, SMALLEST)}
    name, number = by_kind["id"], by_kind["plot"]
    assert (number.text, number.height, number.top) == ("1203", name.height, name.top)
    # 12 pt or more; and bold signs are wider than others, in DejaVu Sans by a fifth and more (read off a browser's picture).
    assert number.height >= 12 * 25.4 / 72 * 1.2
    for part in (name, number):
        assert 1.2 * width_of(part.text, part.height / 1.2) <= part.width + 1e-9
    assert number.left >= name.left + name.width - 1e-9


def test_an_id_of_wide_letters_stands_beside_the_number_of_a_plot_on_the_narrowest_label() -> None:
    """Advances of DejaVu Sans Bold, in parts of the height: P 0.733, B 0.762, figures 0.696, dash 0.415, M 0.995, D 0.830."""
    wide = OF_PLOT._replace(id="PB1MDD", beside="202")
    by_kind = {part.kind: part for part in label_parts(SHEETS["a4-40-whole"], wide, SMALLEST)}
    size = by_kind["id"].height / 1.2
    assert by_kind["id"].text == "PB1-MDD"
    assert size * (0.733 + 0.762 + 0.696 + 0.415 + 0.995 + 2 * 0.830) <= by_kind["id"].width
    assert size * 3 * 0.696 <= by_kind["plot"].width


def test_the_position_stays_whole_where_the_place_has_a_long_name(season: Path) -> None:
    season.write_text(season.read_text().replace('"H1"', '"hoop-house-by-the-west-4"'))
    cut(season)
    labels(season, "--sheet", "a4-40-whole")
    lines = [text for text in Page(season.parent / "season-labels.html").texts if "hoop-house" in text]
    assert [" ".join(line.split()[:1]) for line in lines][:3] == ["top", "middle", "bottom"]
    assert all(line.endswith("…") for line in lines)


def test_a_long_name_is_cut_and_never_runs_over() -> None:
    long = TEXT._replace(lines=("A1 " + "amber " * 20,))
    line = next(p for p in label_parts(SHEETS["a4-40-whole"], long, SMALLEST) if p.kind == "line")
    assert line.text.endswith("…")
    assert width_of(line.text, 2.5) <= line.width


# --- the command


@pytest.mark.needs("segno")
def test_labels_of_bags_that_are_not_sent_yet(season: Path) -> None:
    ids = cut(season)
    text = labels(season)
    assert "season-labels.html" in text
    assert "at a scale of 100 %" in text
    page = Page(season.parent / "season-labels.html")
    stands_alone(page)
    assert [t for t in page.texts if t in {*map(grouped, ids)}] == [*map(grouped, ids)]
    for line in (
        "A1 amber",
        "top H1, 5 plants",
        "Tue 16 Mar 2027",
        "20 d after flowering",
        "by",
    ):
        assert line in " ".join(" ".join(page.texts).split())
    assert page.texts.count("PRE-TEST, NOT OFFICIAL") == len(ids) == len(page.drawings())


def test_without_the_library_labels_have_no_codes_and_the_extra_is_named(
    season: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    import sys

    ids = cut(season)
    monkeypatch.setitem(sys.modules, "segno", None)
    told = labels(season)
    # Before it is written.
    assert -1 < told.index("codes need the extra [labels]") < told.index("season-labels.html: ")
    page = Page(season.parent / "season-labels.html")
    assert page.drawings() == []
    assert grouped(ids[0]) in page.texts


def test_named_bags_and_those_of_a_date(season: Path) -> None:
    ids = cut(season)
    cut(season, "A1", "--date", "2027-03-23")
    labels(season, grouped(ids[1]).lower(), "--output", "one.html")
    assert Page(season.parent / "one.html").texts.count("PRE-TEST, NOT OFFICIAL") == 1
    labels(season, "--date", "23 mar", "--output", "later.html")
    assert Page(season.parent / "later.html").texts.count("PRE-TEST, NOT OFFICIAL") == 3


def test_a_test_page_has_every_outline_and_a_ruler(season: Path) -> None:
    labels(season, "--test-page", "--sheet", "a4-3x9", "--offset-x", "-1,5", "--offset-y", "2")
    page = Page(season.parent / "season-test-page.html")
    stands_alone(page)
    assert [text for text in page.texts if text.isdigit()] == [str(n) for n in range(1, 28)]
    assert any("100 mm" in text and "moved 1.5 mm left, 2 mm down" in text for text in page.texts)


def test_bags_of_plots_have_the_number_on_their_labels_and_the_plot_on_the_custody_sheet(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    season = sampled_season(tmp_path, BY_PLOT)
    cut(season, "--plots", "K1-101,K1-202")
    labels(season, "--custody", "custody.html")
    on_labels = Page(tmp_path / "season-labels.html").texts
    assert [text for text in on_labels if text in ("101", "102", "201", "202")] == ["101", "202"]
    assert "A1, plot K1-101 amber" in [" ".join(text.split()) for text in on_labels]
    custody = Page(tmp_path / "custody.html").texts
    assert [text for text in custody if "plot" in text] == ["A1, plot K1-101", "A1, plot K1-202"]


def test_a_custody_sheet_lists_the_bags_and_has_lines_for_hand_overs(season: Path) -> None:
    ids = cut(season, "trip", "--who", "R. Field")
    labels(season, "--custody", "custody.html")
    page = Page(season.parent / "custody.html")
    stands_alone(page)
    assert {*map(grouped, ids)} <= {*page.texts}
    assert "handed over by (name, signature)" in page.texts
    assert any("PRE-TESTS, NOT OFFICIAL" in text for text in page.texts)


def test_the_tagged_plants_stand_on_labels_and_under_the_bags_of_the_custody_sheet(season: Path) -> None:
    season.write_text(
        season.read_text().replace('id = "weekly"', 'id = "weekly"\ntagged = ["P3", "P9", "P14"]')
    )
    ids = cut(season)
    labels(season, "--custody", "custody.html")
    page = Page(season.parent / "season-labels.html")
    assert page.texts.count("tagged P3 P9 P14") == len(ids)
    custody = Page(season.parent / "custody.html").texts
    assert [text for text in custody if "Tagged" in text] == [
        "Tagged plants of A1: P3, P9, P14",
        "Tagged plants of D1: P3, P9, P14",
    ]


@pytest.mark.parametrize("paper", SHEET_PAPERS.values(), ids=SHEET_PAPERS)
def test_the_columns_of_the_custody_sheet_fit_the_paper_and_hold_what_stands_in_them(paper: Paper) -> None:
    assert sum(BAG_COLUMNS.values()) <= paper.width - 2 * paper.margin
    # 9.5 pt, with 1 mm beside it, as the page has it; heads at 7.5 pt.
    written = {
        "bag": "K7Q-2RY",
        "position": "bottom",
        "plants": "1000",
        "cut on": "Wed 30 Sep 2026",
        "at": "07:15",
    }
    for head, mm in BAG_COLUMNS.items():
        assert width_of(head, 7.5 * 25.4 / 72) <= mm - 1, head
        assert width_of(written.get(head, ""), 9.5 * 25.4 / 72) <= mm - 2, head


def test_the_longest_names_go_on_in_a_second_line_and_leave_room_to_write(season: Path) -> None:
    cut(season)
    labels(season, "--custody", "custody.html")
    text = (season.parent / "custody.html").read_text(encoding="utf-8")
    assert ".bags { table-layout: fixed }" in text
    assert "overflow-wrap: anywhere" in text
    assert not re.search(r"\.bags td \{[^}]*nowrap", text)
    widths = re.findall(r'<th style="width: (\d+)mm">', text)
    assert [int(mm) + 1 for mm in widths] == [*BAG_COLUMNS.values()]


@pytest.mark.parametrize(
    ("typed", "name"),
    [("a4-24", "a4-24"), ("A4-3x8", "a4-24"), ("A4 4x10", "a4-40-whole"), ("letter-3X10", "letter-30")],
)
def test_a_sheet_is_named_by_its_labels_or_by_columns_and_rows(typed: str, name: str) -> None:
    assert find_sheet(typed).id == name


def test_two_sheets_of_as_many_columns_and_rows_are_told_apart() -> None:
    with pytest.raises(Refusal, match=r"may be a4-21 .* or a4-21-whole"):
        find_sheet("a4-3x7")


@pytest.mark.parametrize(
    ("words", "right"),
    [
        (("--sheet", "a5-12"), "is no sheet that is known"),
        (("--first", "25"), "has 1 to 24"),
        (("--first", "x"), "is no number of a label"),
        (("--offset-x", "40"), "at most half a label, 31.75 mm"),
        (("--offset-y", "wide"), "is no number of mm"),
        (("--output", "labels.pdf"), "name a file that ends in .html"),
        (("--test-page", "--first", "2"), "does not go with --test-page"),
        (
            ("--date", "1 apr"),
            "there is no bag of Thu 1 Apr 2027, so no label; `calendar-tui sample trip --date 2027-04-06`",
        ),
        (("26A1TA",), "is a sound id, but no bag of this season has it"),
    ],
)
def test_what_cannot_be_printed_is_refused(season: Path, words: tuple[str, ...], right: str) -> None:
    cut(season)
    assert right in refused(season, *words)


def test_where_no_bag_has_an_id_the_command_named_gives_it_one(season: Path) -> None:
    told = refused(season)
    assert told.startswith("there is no bag waiting to be sent, so no label; ")
    named = re.search(r"`calendar-tui sample (trip --date \S+)`", told)
    assert named, told
    assert len(cut(season, *named[1].split())) > 0
    labels(season)


def test_where_no_trip_is_planned_bags_one_by_one_are_proposed(season: Path) -> None:
    season.write_text(season.read_text().split("[[sampling]]")[0])
    assert "`calendar-tui sample COHORT` gives ids" in refused(season)


def test_lost_bags_of_a_date_get_no_label_and_a_bag_is_named_or_chosen_by_its_date(season: Path) -> None:
    ids = cut(season, "A1", "--date", "2027-03-16")
    assert run("sample", season, ids[0], "lost", "--yes", today=TODAY).status == 0
    labels(season, "--date", "16 mar", "--output", "rest.html")
    assert Page(season.parent / "rest.html").texts.count("PRE-TEST, NOT OFFICIAL") == len(ids) - 1
    assert "--date chooses bags that are not named" in refused(season, ids[1], "--date", "16 mar")


def test_labels_are_never_written_over_the_season_by_another_name(season: Path) -> None:
    cut(season)
    before = season.read_bytes()
    (season.parent / "same.html").symlink_to(season)
    assert "is the season file; name another file" in refused(season, "--output", "same.html")
    assert season.read_bytes() == before


def test_without_bags_it_tells_how_to_give_them_ids(season: Path) -> None:
    assert "calendar-tui sample trip --date" in refused(season)
