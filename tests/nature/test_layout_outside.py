"""Layouts against what others published and what other libraries say: alpha designs, Latin squares, what a trial can find.

Tables: R package agridat 1.27 (github kwstat/agridat), as in `field_analysis/data`: john.alpha (John and Williams 1995), burgueno.alpha
(Burgueño et al. 2000), cochran.latin (Cochran and Cox 1957).
"""

from __future__ import annotations

import csv
import hashlib
import os
import subprocess
import sys
from collections import Counter
from pathlib import Path

import numpy
import pytest

from calendar_tui.nature.layouts.alpha import best_array, blocks_a_replicate, efficiency, incomplete_blocks
from calendar_tui.nature.layouts.designs import (
    ALPHA,
    AUGMENTED,
    BLOCKS,
    COMPLETE,
    LATIN,
    SPLIT,
    SPLIT_SPLIT,
    STRIP,
    Wanted,
    draw_plots,
)
from calendar_tui.nature.layouts.detectable import smallest_difference
from calendar_tui.nature.layouts.shuffle import draws
from calendar_tui.nature.layouts.squares import latin_square

DATA = Path(__file__).parent / "field_analysis" / "data"


def table(name):
    with (DATA / f"{name}.txt").open(encoding="utf-8", newline="") as lines:
        return list(csv.DictReader(lines, delimiter="\t"))


# --- alpha designs


def mean_efficiency(blocks, treatments, replicates, size):
    """From the eigenvalues of the information matrix, for blocks of one size, by numpy."""
    names = sorted({name for block in blocks for name in block})
    assert len(names) == treatments
    incidence = numpy.array([[name in block for block in blocks] for name in names], dtype=float)
    information = numpy.eye(treatments) - incidence @ incidence.T / (replicates * size)
    values = numpy.sort(numpy.linalg.eigvalsh(information))[1:]
    return len(values) / (1 / values).sum()


def published_blocks(name):
    held = {}
    for row in table(name):
        held.setdefault((row["rep"], row["block"]), set()).add(row["gen"])
    return list(held.values())


@pytest.mark.parametrize(
    ("name", "treatments", "size", "replicates"),
    [("john.alpha", 24, 4, 3), ("burgueno.alpha", 16, 4, 3)],
)
def test_a_drawn_alpha_design_comes_within_a_thousandth_of_a_published_one_of_its_size(
    name, treatments, size, replicates
):
    published = mean_efficiency(published_blocks(name), treatments, replicates, size)
    array = best_array(treatments, size, replicates, draws(20261208))
    own = [
        set(block)
        for held in incomplete_blocks(array, blocks_a_replicate(treatments, size), treatments)
        for block in held
    ]
    drawn = mean_efficiency(own, treatments, replicates, size)
    assert drawn == pytest.approx(efficiency(array, blocks_a_replicate(treatments, size)))
    assert drawn >= published - 1e-3


def test_the_published_alpha_design_of_24_has_the_efficiency_that_is_told_of_it():
    assert mean_efficiency(published_blocks("john.alpha"), 24, 3, 4) == pytest.approx(0.7265, abs=5e-5)


# --- Latin squares


def is_latin(rows):
    names = set(rows[0])
    lines = [*rows, *zip(*rows, strict=True)]
    return len(names) == len(rows) and all(set(line) == names for line in lines)


def test_a_drawn_square_is_latin_as_a_published_one_is():
    held = {(int(one["row"]), int(one["col"])): one["operator"] for one in table("cochran.latin")}
    published = [[held[row, column] for column in range(1, 7)] for row in range(1, 7)]
    assert is_latin(published)
    assert all(is_latin(latin_square(6, draws(seed))) for seed in range(50))
    published[0][0], published[0][1] = published[0][1], published[0][0]
    assert not is_latin(published)


def test_each_treatment_stands_in_each_cell_of_a_square_and_beside_each_other_one_as_often():
    """A chi-square of SciPy's over 4,000 seeds: chances under 1 in 10,000 would tell of a shuffle that prefers some."""
    stats = pytest.importorskip("scipy").stats
    corner, beside = Counter(), Counter()
    for seed in range(4000):
        rows = latin_square(4, draws(seed))
        corner[rows[0][0]] += 1
        beside[rows[1][1], rows[1][2]] += 1
    assert len(corner) == 4
    assert len(beside) == 12
    for counts in (corner, beside):
        assert stats.chisquare(list(counts.values())).pvalue > 1e-4, counts


# --- what a trial can find


@pytest.mark.parametrize("cv", [5, 10, 20, 30])
@pytest.mark.parametrize(("plots", "df"), [(4, 9), (6, 15), (4, 15), (8, 6), (12, 9), (0.8, 6), (2.18, 31)])
def test_the_difference_is_found_in_four_of_five_trials_by_the_noncentral_t_of_scipy(cv, plots, df):
    stats = pytest.importorskip("scipy").stats
    shift = smallest_difference(cv, plots, df) / (cv * (2 / plots) ** 0.5)
    critical = stats.t.ppf(0.975, df)
    found = stats.nct.sf(critical, df, shift) + stats.nct.cdf(-critical, df, shift)
    assert found == pytest.approx(0.8, abs=1e-4)


@pytest.mark.parametrize(("plots", "df"), [(4, 9), (6, 15)])
def test_the_same_by_the_noncentral_f_of_scipy(plots, df):
    """Two means: F is the square of t, and its noncentrality that of t squared."""
    stats = pytest.importorskip("scipy").stats
    shift = smallest_difference(10, plots, df) / (10 * (2 / plots) ** 0.5)
    assert stats.ncf.sf(stats.f.ppf(0.95, 1, df), 1, df, shift**2) == pytest.approx(0.8, abs=1e-4)


@pytest.mark.parametrize("plots", [3, 5, 8])
def test_two_treatments_in_one_shuffle_by_the_power_of_statsmodels(plots):
    power = pytest.importorskip("statsmodels.stats.power")
    effect = power.TTestIndPower().solve_power(nobs1=plots, alpha=0.05, power=0.8, ratio=1)
    assert smallest_difference(10, plots, 2 * (plots - 1)) == pytest.approx(10 * effect, rel=1e-4)


# --- the same seed, the same plots

NAMES = tuple(f"V{number}" for number in range(12))
FACTORS = (("date", ("D1", "D2")), ("variety", ("A", "B", "C")), ("spacing", ("wide", "close")))
DRAWN = {
    COMPLETE: ((FACTORS[1],), {}),
    BLOCKS: (FACTORS[:2], {}),
    LATIN: ((FACTORS[1],), {"blocks": 3}),
    SPLIT: (FACTORS[:2], {}),
    SPLIT_SPLIT: (FACTORS, {}),
    STRIP: (FACTORS[:2], {}),
    AUGMENTED: ((("variety", NAMES),), {"checks": NAMES[:3]}),
    ALPHA: ((("variety", NAMES),), {"blocks": 3, "block_size": 4}),
}
# The digest of its plots by seed 20261208, so that a later version draws what this one does (computed).
AS_EVER = {
    COMPLETE: "950d3efbde5d",
    BLOCKS: "5eef9787f602",
    LATIN: "4968c1a31f26",
    SPLIT: "fea4c657ef59",
    SPLIT_SPLIT: "32824c5ec539",
    STRIP: "72beabb9cdb4",
    AUGMENTED: "df3a940d7b4f",
    ALPHA: "c74bc22fb584",
}


def digests():
    found = {}
    for design, (factors, more) in DRAWN.items():
        plots = draw_plots(Wanted(design=design, factors=factors, seed=20261208, **{"blocks": 4, **more}))
        text = repr([(one.block, one.place, one.treatment, one.parts, one.entry) for one in plots])
        found[design] = hashlib.sha256(text.encode()).hexdigest()[:12]
    return found


def test_a_seed_draws_the_same_plots_as_ever():
    assert digests() == AS_EVER


@pytest.mark.slow
@pytest.mark.parametrize("hashing", ["0", "1", "4711"])
def test_a_seed_draws_the_same_plots_in_every_process(hashing):
    """Sets and dicts are put in order by hashes, which differ from process to process."""
    code = "from tests.nature.test_layout_outside import digests; print(sorted(digests().items()))"
    root = Path(__file__).parents[2]
    made = subprocess.run(
        [sys.executable, "-c", code],
        cwd=root,
        env={**os.environ, "PYTHONHASHSEED": hashing, "PYTHONPATH": str(root)},
        capture_output=True,
        text=True,
        check=True,
    )
    assert made.stdout.strip() == str(sorted(digests().items()))
