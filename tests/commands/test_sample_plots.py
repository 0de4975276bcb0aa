"""Bags of the plots of a trial by command: the week, plots by name, what cannot be sampled."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from sampled_season import BY_PLOT, sampled_season
from test_sample_command import bags, refused, sample


@pytest.fixture
def plots(tmp_path: Path) -> Path:
    return sampled_season(tmp_path, BY_PLOT)


def test_the_week_lists_a_bag_for_each_plot_that_stands(plots: Path) -> None:
    text = sample(plots)
    assert "A1, plot K1-101 top to cut A1, plot K1-102 top to cut A1, plot K1-202 top to cut" in text
    assert "K1-201" not in text
    assert "K1-g" not in text


def test_bags_of_named_plots_take_cohort_and_positions_from_their_plans(plots: Path) -> None:
    made = json.loads(sample(plots, "--plots", "k1-101,K1-202", "--json", "--yes"))
    found = [(bag["cohort"], bag["plot"], bag["position"], bag["laboratory"]) for bag in made["bags"]]
    assert found == [
        ("A1", "K1-101", "top", "lab"),
        ("A1", "K1-202", "top", "lab"),
    ]
    assert [bag["plot"] for bag in bags(plots)] == [one[1] for one in found]


@pytest.mark.parametrize(
    ("words", "message"),
    [
        (("--plots", "K1-109"), '"K1-109" is not a plot of this season; did you mean'),
        (("--plots", "K1-g"), "plot K1-g is a guard, which is never sampled"),
        (
            ("A1", "--plots", "K1-101"),
            "--plots names the plots, and their cohorts follow; leave out the rest",
        ),
        (
            ("trip", "--plots", "K1-101"),
            "--plots names the plots, and their cohorts follow; leave out the rest",
        ),
        (("--plots", ","), '"" is not a plot of this season'),
    ],
)
def test_plots_that_cannot_be_sampled_are_told(plots: Path, words: tuple[str, ...], message: str) -> None:
    assert message in refused(plots, *words)
