"""The pages opened and printed by a real browser, where there is one: Chromium without a screen."""

from __future__ import annotations

import re
import shutil
import subprocess
from pathlib import Path

import pytest
from hard_season import NAME, hard_text
from page_reading import RUNS
from reported_season import TODAY as FOUND_ON
from reported_season import trial_season
from small_season import run

BROWSER = next(filter(None, map(shutil.which, ("chromium", "chromium-browser", "google-chrome"))), None)
pytestmark = pytest.mark.skipif(BROWSER is None, reason="no Chromium here (Debian: apt install chromium)")
# No look-up of its own maker's hosts, and none of the page's: a page that needs the network would show.
QUIET = [
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--no-pdf-header-footer",
]
MM = 72 / 25.4  # points of a PDF
# A drawing of lines stays small; pictures in their place take tens of megabytes.
MOST_BYTES = 2_000_000


def browse(page: Path, *words: str) -> str:
    profile = page.parent / "profile"
    ran = subprocess.run(
        [
            str(BROWSER),
            *QUIET,
            "--host-resolver-rules=MAP * ~NOTFOUND",
            f"--user-data-dir={profile}",
            *words,
            page.as_uri(),
        ],
        capture_output=True,
        text=True,
        timeout=180,
        check=False,
    )
    assert ran.returncode == 0, ran.stderr[-2000:]
    return ran.stdout


def printed(page: Path) -> tuple[set[tuple[int, int]], int]:
    """The sizes (mm) and number of the pages that the browser prints."""
    target = page.with_suffix(".pdf")
    browse(page, f"--print-to-pdf={target}")
    pdf = target.read_bytes()
    assert len(pdf) < MOST_BYTES
    boxes = re.findall(rb"/MediaBox \[0 0 ([\d.]+) ([\d.]+)\]", pdf)
    return {(round(float(w) / MM), round(float(h) / MM)) for w, h in boxes}, len(boxes)


@pytest.fixture(scope="module")
def hard(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A season of 40 cohorts with its tasks."""
    path = tmp_path_factory.mktemp("hard") / "hard.toml"
    path.write_text(hard_text(40, 12), encoding="utf-8")
    assert run("tasks", path, "--yes", today="2026-03-05").status == 0
    return path


@pytest.mark.slow
def test_the_wall_is_printed_on_a3_with_nothing_cut_off(hard: Path) -> None:
    """ISO 216: A3 is 297 by 420 mm. One sheet of paper for each drawing, none for what runs over."""
    target = hard.with_name("wall.html")
    assert run("export", hard, "--wall", target, today="2026-06-08").status == 0
    sizes, count = printed(target)
    assert sizes == {(420, 297)}
    assert count == target.read_text(encoding="utf-8").count("<svg") == 3


def test_the_sheet_is_printed_on_letter_where_that_is_asked_for(hard: Path) -> None:
    """Letter is 8.5 by 11 inches, 216 by 279 mm."""
    target = hard.with_name("sheet.html")
    ran = run("export", hard, "--sheet", target, "--paper", "us", today="2026-03-09")
    assert ran.status == 0, ran.said
    assert printed(target)[0] == {(216, 279)}


@pytest.mark.slow
def test_what_the_browser_makes_of_hard_names_is_text(hard: Path) -> None:
    target = hard.with_name("seen.html")
    assert run("export", hard, "--wall", target, today="2026-06-08").status == 0
    seen = browse(target, "--dump-dom")
    assert not RUNS & set(re.findall(r"<([a-z]+)", seen))
    assert NAME.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;") in seen
    assert seen.count("<text") == target.read_text(encoding="utf-8").count("<text")


@pytest.mark.slow
@pytest.mark.parametrize(("paper", "size"), [("iso", (210, 297)), ("us", (216, 279))])
def test_the_growers_page_is_printed_on_its_paper_with_nothing_cut_off(
    tmp_path: Path, paper: str, size: tuple[int, int]
) -> None:
    """As wide as the paper, so that the browser makes nothing smaller."""
    season, target = tmp_path / "trial.toml", tmp_path / "found.html"
    season.write_text(trial_season(), encoding="utf-8")
    assert run("report", season, "--html", target, "--paper", paper, today=FOUND_ON).status == 0
    sizes, count = printed(target)
    assert sizes == {size}
    assert 3 <= count <= 12
