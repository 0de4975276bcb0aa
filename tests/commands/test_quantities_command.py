"""The command that tells what a season needs, on an invented season of three cohorts."""

from __future__ import annotations

import csv
import io
import json
import re
from pathlib import Path

import pytest
from small_season import PLAIN, line_of, run

from calendar_tui.handing_on.tables.quantity_rows import COLUMNS

OWN = "germination = 0.90\nusable = 0.92\nsurvival = 0.95\nseed_kind = "
DOCS = Path(__file__).parent.parent.parent / "docs"


def written(path: Path, *swaps: tuple[str, str], more: str = "") -> Path:
    text = PLAIN
    for old, new in swaps:
        assert old in text
        text = text.replace(old, new, 1)
    path.write_text(text + more, encoding="utf-8")
    return path


@pytest.mark.parametrize(
    ("kind", "formula"),
    [
        ("feminised", "500 / (0.90 x 0.92 x 0.95 x 1.00) = 636 seeds"),
        ("regular", "500 / (0.90 x 0.92 x 0.95 x 0.50) = 1272 seeds"),
    ],
)
def test_seeds_with_their_formula(tmp_path: Path, kind: str, formula: str) -> None:
    own = ("marks = {", f'{OWN}"{kind}"\nmarks = {{')
    path = written(tmp_path / "own.toml", ("plants = 120", "plants = 500"), own)
    ran = run("quantities", path, "a1")
    assert ran.status == 0, ran.said
    line = next(line for line in ran.out.splitlines() if line.lstrip().startswith("seeds  "))
    assert line.endswith(formula)
    assert "~" not in line
    assert max(map(len, ran.out.splitlines())) <= 80


def test_guesses_carry_a_tilde_and_are_named(season: Path) -> None:
    ran = run("quantities", season)
    said = " ".join(ran.out.split())
    assert "seeds ~153 120 / (~0.90 x ~0.92 x ~0.95 x ~1.00) = 153 seeds" in said
    assert (
        "~ is a guess, since there is nothing behind: germination share, usable share, survival share, seed kind"
        in said
    )
    assert "none is promised" in said


def test_cohorts_without_plants_are_told_and_left_out_of_the_sums(season: Path) -> None:
    said = " ".join(run("quantities", season).out.split())
    assert "! B1 has no number of plants" in said
    assert "set them, such as 100" in said
    assert "! left out of the sums of what follows from plants: B1, D1 (no number of plants)" in said
    assert "seeds amber ~153 A1 153 " in said


def test_shortfalls_too_small_a_place_and_circuits_are_told(tmp_path: Path) -> None:
    path = written(
        tmp_path / "short.toml",
        ("plants = 120", "plants = 250"),
        ("kw = 0.9 }", "kw = 3.5, circuit_v = 230, circuit_a = 16 }"),
        more="[stock]\nseeds = { amber = 300 }\nbags = 500\n",
    )
    said = " ".join(run("quantities", path).out.split())
    # 250 / 0.7866 = 317.8; 250 x 0.9 = 225 m2.
    assert "! seeds of amber: about 18 short: 318 are needed, 300 are there" in said
    assert "! H1 is too small from 30 Oct to " in said
    assert "A1 225 m2 of 180 m2, 45 m2 too many" in said
    assert "! H1: 3.5 kW on 1 circuit is over 0.80 x 230 V x 16 A = 2.94 kW" in said
    assert "a licensed electrician decides" in said
    assert "500 there, enough" in said
    assert "The stock is for all cohorts" in " ".join(run("quantities", path, "A1").out.split())


def test_as_json_and_as_csv_the_same_rows(season: Path) -> None:
    data = json.loads(run("quantities", season, "--json").out)
    ran = run("quantities", season, "--csv")
    rows = list(csv.DictReader(io.StringIO(ran.out)))
    assert [list(row) for row in data["rows"]] == [list(COLUMNS)] * len(data["rows"])
    plain = [{k: "" if v is None else str(v) for k, v in row.items()} for row in data["rows"]]
    assert rows == plain
    seeds = next(row for row in data["rows"] if row["item"] == "seeds")
    assert (seeds["cohort"], seeds["count"], seeds["guess"]) == ("A1", 153, True)
    assert "amber germination" in data["guesses"]
    assert any("B1, D1" in note for note in data["notes"])


def test_the_page_names_every_column_and_item(season: Path) -> None:
    page = (DOCS / "quantities.md").read_text(encoding="utf-8")
    columns = page.partition("## Columns of the table")[2]
    assert tuple(re.findall(r"^\| (\w+) \|", columns, re.MULTILINE))[1:] == COLUMNS
    named = {name for cell in re.findall(r"^\| ([^|`]+) \|", page, re.MULTILINE) for name in cell.split(", ")}
    rows = json.loads(run("quantities", season, "--json").out)["rows"]
    assert {row["item"] for row in rows} - {"plants"} <= named


def test_acres_in_place_of_hectares(season: Path) -> None:
    """43,560 sq ft at 1.5 x 0.6 m: 4046.9 / 0.9 = 4496.5."""
    assert re.search(r"per acre +4496 ", run("quantities", season, "--acres").out)
    assert re.search(r"per ha +11111 ", run("quantities", season).out)


@pytest.mark.parametrize(
    ("swap", "at", "says"),
    [
        (("plants = 120", "plants = 0"), "plants = 0", "a whole number from 1"),
        (("inductive_days =", "germination = 1.1\ninductive_days ="), "germination", "from 0.01 to 1"),
        (("inductive_days =", "usable = 0\ninductive_days ="), "usable", "from 0.01 to 1"),
        (('kind = "nursery"', 'kind = "nursery"\ntray_cells = 0'), "tray_cells", "from 1 to 2000"),
        (("[[outage]]", "[stock]\nseeds = { ambr = 5 }\n[[outage]]"), "ambr", 'did you mean "amber"?'),
        (("spacing_m = [1.5, 0.6]", "spacing_m = [1.5, 0]"), "spacing_m", "from 0.01 to 100"),
    ],
)
def test_figures_that_cannot_be_are_told_with_their_line(
    tmp_path: Path, swap: tuple[str, str], at: str, says: str
) -> None:
    path = written(tmp_path / "wrong.toml", swap)
    ran = run("quantities", path)
    assert (ran.status, ran.out) == (2, "")
    assert says in ran.err
    assert f"wrong.toml:{line_of(path.read_text(), at)}: " in ran.err


def test_words_that_are_no_cohort_and_a_season_without_any(season: Path, tmp_path: Path) -> None:
    ran = run("quantities", season, "A9")
    assert ran.status == 2
    assert "A1" in ran.err
    bare = tmp_path / "bare.toml"
    bare.write_text(PLAIN.split("[[cohort]]")[0])
    ran = run("quantities", bare)
    assert ran.status == 2
    assert "no cohort yet; add one, such as: calendar-tui add" in ran.err
