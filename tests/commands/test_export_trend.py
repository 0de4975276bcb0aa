"""The trends as pages: a page a lot with results, its bands, limit and points drawn, the sentences beside it."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

from page_reading import FETCHES, RUNS, Page
from small_season import run
from trended_season import trended_season

from tests.planning.trended_farm import FLOWERING, B, D, bags_of

TODAY = (FLOWERING + timedelta(days=53)).isoformat()


def _page(folder: Path, *pairs) -> Page:
    season = trended_season(folder, *pairs)
    ran = run("export", season, "--trend", folder / "trend.html", today=TODAY)
    assert ran.status == 0, ran.said
    return Page(folder / "trend.html")


def _both(folder: Path) -> Page:
    later = bags_of("B1", D, 50, FLOWERING + timedelta(days=14), ("lab", "lab", "other"))
    return _page(folder, bags_of("A1", B), later)


def test_each_lot_with_results_has_a_page_and_no_other(tmp_path: Path) -> None:
    page = _both(tmp_path)
    names = [name for name, _ in page.elements]
    assert names.count("section") == 2
    # Of each total THC, and total CBD below it, each with two bands.
    assert names.count("svg") == 4
    assert names.count("polygon") == 8
    assert "P1" not in page.source


def test_it_shows_limit_points_dates_standing_and_runs_nothing(tmp_path: Path) -> None:
    page = _both(tmp_path)
    text = " ".join(" ".join(page.texts).split())
    for words in (
        "limit 0.3 %",
        "today",
        "earliest",
        "laboratory: other",
        "Limit 0.3 %: earliest Sun 11 Apr 2027",
        "Rules: Example rules, as of 28 Nov 2026: check with your authority.",
        "Pre-tests, not official",
        "CBD : THC",
    ):
        assert words in text, words
    assert sum(name == "circle" for name, _ in page.elements) == 2 * (15 + 3)
    assert not {name for name, _ in page.elements} & RUNS
    assert not {key for _, given in page.elements for key in given} & FETCHES


def test_without_results_no_page_is_written(tmp_path: Path) -> None:
    season = trended_season(tmp_path)
    ran = run("export", season, "--trend", tmp_path / "trend.html", today=TODAY)
    assert ran.status != 0
    assert "no cohort has results yet" in ran.said
    assert not (tmp_path / "trend.html").exists()


def test_an_odd_result_is_crossed_and_named_on_paper(tmp_path: Path) -> None:
    pages = []
    for total in (0.19, 0.5):
        folder = tmp_path / str(total)
        folder.mkdir()
        pages.append(_page(folder, bags_of("A1", {"top": B["top"] | {32: total}})))
    plain, odd = pages
    crossed = [sum("4.4 4.4m" in str(given) for _, given in page.elements) for page in (plain, odd)]
    assert crossed == [0, 2]  # its CBD, twenty times as much, is odd too
    assert "Odd: the result of" in " ".join(odd.texts)
    assert "Odd: the result of" not in " ".join(plain.texts)


def test_of_a_lot_that_is_cut_no_day_of_the_limit_is_drawn(tmp_path: Path) -> None:
    whole = [{"id": "p1", "date": FLOWERING + timedelta(days=50), "lot": "A1", "last": True}]
    path = trended_season(tmp_path, bags_of("A1", B), **{"pass": whole})
    ran = run("export", path, "--trend", tmp_path / "trend.html", today=TODAY)
    assert ran.status == 0, ran.said
    text = " ".join(" ".join(Page(tmp_path / "trend.html").texts).split())
    assert "A1 is cut, since" in text
    assert "Limit 0.3 %: earliest" not in text
    drawn = text.partition("Dark band")[0]
    assert "limit 0.3 %" in drawn
    assert "earliest" not in drawn


def test_total_cbd_is_drawn_on_the_same_days_with_its_ratio_to_thc_over_each_cut(tmp_path: Path) -> None:
    pairs = list(bags_of("A1", D))
    for n, (_, result) in enumerate(pairs):
        result["found"] |= {"CBD": str(1 + n)}
    page = _page(tmp_path, pairs)
    drawings = [dict(given) for name, given in page.elements if name == "svg"]
    assert [given["height"] for given in drawings] == ["120mm", "70mm"]
    assert drawings[1]["aria-label"] == "A1, top: total CBD, and CBD : THC by week"
    text = " ".join(" ".join(page.texts).split())
    # 1, 2 and 3 % CBD over 0.04, 0.09 and 0.16 % THC.
    assert all(f"{ratio} : 1" in text for ratio in ("25.0", "22.2", "18.8"))
    assert "Total CBD, top; above it CBD : THC of each cut" in text


def test_where_no_cbd_is_reported_none_is_drawn(tmp_path: Path) -> None:
    pairs = list(bags_of("A1", D))
    for _, result in pairs:
        result["found"] = {key: total for key, total in result["found"].items() if "CBD" not in key}
    page = _page(tmp_path, pairs)
    assert sum(name == "svg" for name, _ in page.elements) == 1
    assert "Total CBD" not in " ".join(page.texts)
