"""The season as one page for the wall: what is drawn where, legible and harmless."""

from __future__ import annotations

import re
from itertools import pairwise
from pathlib import Path

import pytest
from hard_season import NAME, hard_text
from page_reading import Page, stands_alone
from small_season import PLAIN, run

from calendar_tui.handing_on.paper.hatching import FILLS, Box, filled
from calendar_tui.handing_on.paper.markup import WALL_PAPERS, fitted, width_of
from calendar_tui.planning.why.phases import PHASES
from calendar_tui.season.stages import LETTERS
from calendar_tui.season.wording import MONTHS

SMALLEST_MM = 2.5  # 7 pt: what can still be read on a wall chart at arm's length; common practice, no source
SVG = "{http://www.w3.org/2000/svg}"


def wall(season: Path, *words: object) -> Page:
    target = season.parent / "wall.html"
    ran = run("export", season, "--wall", target, "--yes", *words)
    assert ran.status == 0, ran.said
    return Page(target)


def hard(folder: Path, cohorts: int, varieties: int = 3) -> Path:
    path = folder / "hard.toml"
    path.write_text(hard_text(cohorts, varieties), encoding="utf-8")
    return path


def test_it_shows_cohorts_lamps_dates_legend_and_cautions(season: Path) -> None:
    page = wall(season)
    stands_alone(page)
    for text in (
        "Near Fields 2026-27",
        "A1",
        "B1",
        "D1",
        "H1",
        "amber",
        "30 Oct",
        "Nov 2026",
        "14 h",
    ):
        assert text in page.texts, text
    assert set(PHASES.values()) <= set(page.texts)
    legend = next(text for text in page.texts if text.startswith("s seeding"))
    assert all(f"{letter} {stage.replace('_', ' ')}" in legend for stage, letter in LETTERS.items())
    assert any("ground-fault protection" in text for text in page.texts)
    assert any("Official samples only by an authorised agent." in text for text in page.texts)
    assert "critical 14 h 00 amber" in page.texts


def test_its_dates_are_the_programs(season: Path) -> None:
    """A harvest date in the margin for each cohort, as the dates command tells it."""
    told = run("dates", season, "--json").out
    page = wall(season)
    harvests = re.findall(r'"stage": "harvest",[^}]*?"likely": "(\d+)-(\d+)-(\d+)"', told)
    shown = [text for text in page.texts if text.startswith("harvest ")]
    assert shown == [f"harvest {int(d)} {MONTHS[int(m) - 1]}" for _, m, d in harvests]


@pytest.mark.parametrize(("paper", "size"), [("iso", "A3 landscape"), ("us", "17in 11in")])
def test_it_says_its_paper_and_fits_inside_the_margins(season: Path, paper: str, size: str) -> None:
    page = wall(season, "--paper", paper)
    assert f"@page {{ size: {size}; margin: 8mm }}" in page.source
    sheet = WALL_PAPERS[paper]
    for drawing in page.drawings():
        assert drawing.get("width") == f"{sheet.width - 16:g}mm"
        assert float(drawing.get("height").removesuffix("mm")) <= sheet.height - 16
        _inside(drawing)


def _inside(drawing) -> None:
    """Nothing reaches over the drawing's edge, and no letter is too small."""
    _, _, width, height = map(float, drawing.get("viewBox").split())
    for one in drawing.iter():
        for key in ("x", "x1", "x2"):
            assert 0 <= float(one.get(key, 0)) <= width, one.attrib
        for key in ("y", "y1", "y2"):
            assert 0 <= float(one.get(key, 0)) <= height, one.attrib
        if one.tag.endswith("text"):
            assert float(one.get("font-size")) >= SMALLEST_MM


def test_hard_names_are_nothing_but_text(tmp_path: Path) -> None:
    page = wall(hard(tmp_path, 12))
    stands_alone(page)
    assert not {"b", "i", "u"} & {tag for tag, _ in page.elements}
    assert page.named("title") == [{}] * (1 + len(page.drawings())), "the page's, and one of each drawing"
    assert NAME in page.texts
    assert any(text.startswith("<i>long & strange</i>") for text in page.texts)


def test_screened_parts_covers_failed_nights_and_a_cohort_that_never_flowers(tmp_path: Path) -> None:
    page = wall(hard(tmp_path, 12))
    assert {"N1", "H2 east", "H2 west"} <= set(page.texts)
    assert page.texts.count("17:00-08:00") == 2
    assert page.texts.count("!") > 3
    assert page.texts.count("31 nights under covers") == 2, "20 June to 20 July"
    assert any(text.startswith("C10 does not flower by 31 Dec") for text in page.texts)


@pytest.mark.slow
def test_a_hundred_cohorts_go_on_as_many_sheets_as_they_need(tmp_path: Path) -> None:
    page = wall(hard(tmp_path, 100, 30))
    stands_alone(page)
    drawings = page.drawings()
    assert len(drawings) == 5
    assert sum(text.startswith("made on") for text in page.texts) == 5
    names = [text for text in page.texts if re.fullmatch(r"C\d+|cohort_of\S+", text)]
    assert len(set(names)) == 100, "a name is cut, or not there"
    for drawing in drawings:
        _inside(drawing)
        rows = sorted(float(t.get("y")) for t in drawing.iter() if re.fullmatch(r"C\d+", t.text or ""))
        assert min(b - a for a, b in pairwise(rows)) > 7


@pytest.mark.slow
def test_no_two_names_of_thresholds_stand_over_each_other(tmp_path: Path) -> None:
    page = wall(hard(tmp_path, 100, 30))
    places = [
        float(t.get("y"))
        for t in page.drawings()[0].iter()
        if (t.text or "").startswith(("critical", "full", "and "))
    ]
    assert len(places) > 8
    assert min(b - a for a, b in pairwise(places)) > 2.7
    assert any(re.fullmatch(r"and \d+ more", text) for text in page.texts)


def test_a_season_without_cohorts(tmp_path: Path) -> None:
    path = tmp_path / "bare.toml"
    path.write_text(PLAIN.split("[[cohort]]")[0], encoding="utf-8")
    page = wall(path)
    assert "H1" in page.texts
    assert len(page.drawings()) == 1


_BASE = PLAIN.split("[[outage]]")[0]


@pytest.mark.parametrize(
    ("text", "shows"),
    [
        (
            _BASE.replace("2026-09-01", "2025-06-01").replace("2027-06-30", "2027-08-01"),
            {"2026", "2027", "Feb"},
        ),
        (PLAIN.split("[[cohort]]")[0].replace("2027-06-30", "2026-09-02"), {"Sep 2026", "H1"}),
        (
            _BASE.replace("-34.3", "69.6").replace("America/Montevideo", "America/Nuuk"),
            {"24 h", "0 h", "69.6 N, 56.7 W"},
        ),
    ],
    ids=["26 months", "two days", "no sunrise"],
)
def test_a_long_a_short_and_a_dark_season(tmp_path: Path, text: str, shows: set[str]) -> None:
    path = tmp_path / "odd.toml"
    path.write_text(text, encoding="utf-8")
    page = wall(path)
    (drawing,) = page.drawings()
    _inside(drawing)
    told = {part for text in page.texts for part in (text, text.split(", clock")[0])}
    assert shows <= told


def test_every_fill_is_drawn_in_its_own_way_and_stays_in_its_box() -> None:
    """Told apart without colour: by strokes alone, each path cut to its box."""
    box = Box(10.0, 20.0, 30.0, 4.0)
    paths = {name: " ".join(fill.strokes(box)) for name, fill in FILLS.items()}
    assert len(set(paths.values())) == len(FILLS)
    assert [name for name, path in paths.items() if not path] == ["natural"]
    for name, fill in FILLS.items():
        for stroke in fill.strokes(box):
            _stays(stroke, box, name)
        assert filled(name, box).startswith("<rect")


def _stays(stroke: str, box: Box, name: str) -> None:
    x, y = map(float, re.match(r"M([\d.]+) ([\d.]+)", stroke).groups())
    ends = [(x, y)]
    if along := re.search(r"([hv])([\d.]+)$", stroke):
        ends.append((x + float(along[2]), y) if along[1] == "h" else (x, y + float(along[2])))
    if to := re.search(r"L([\d.]+) ([\d.]+)$", stroke):
        ends.append((float(to[1]), float(to[2])))
    for a, b in ends:
        assert box.x - 0.02 <= a <= box.x + box.wide + 0.02, (name, stroke)
        assert box.y - 0.02 <= b <= box.y + box.high + 0.02, (name, stroke)


@pytest.mark.parametrize(
    "text", ["short", "a name that is far too long for its room", "温室温室温室温室温室", ""]
)
def test_a_text_is_cut_to_its_room(text: str) -> None:
    cut = fitted(text, 30, 3)
    assert width_of(cut, 3) <= 30
    assert cut == text or cut.endswith("…")
