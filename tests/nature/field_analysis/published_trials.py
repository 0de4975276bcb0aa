"""The published trials of the folder `data`, and some that are small enough to stand here."""

from __future__ import annotations

import csv
from pathlib import Path

import numpy as np

from calendar_tui.nature.field_analysis.designs import SPLIT, Layout
from calendar_tui.nature.field_analysis.plots import Plots

DATA = Path(__file__).parent / "data"


def laid_out(design: str, **roles: str) -> Layout:
    """A layout of columns: names with blanks between."""
    return Layout(design, {role: tuple(names.split()) for role, names in roles.items()})


OATS = laid_out(SPLIT, block="block", main="gen", sub="nitro")


def plots_of(rows: list[dict[str, object]], value: str) -> Plots:
    labels = {name: tuple(str(row[name]) for row in rows) for name in rows[0] if name != value}
    return Plots(labels, np.array([float(row[value]) for row in rows]))  # type: ignore[arg-type]


def published(name: str, value: str) -> Plots:
    with (DATA / f"{name}.txt").open(encoding="utf-8", newline="") as lines:
        return plots_of(list(csv.DictReader(lines, delimiter="\t")), value)


def unequal_variances() -> Plots:
    """G17 of the second replicate is set to 7.58, as the book's table 7.28 has it."""
    plots = published("gomez.heteroskedastic", "yield")
    at = [
        gen == "G17" and rep == "R2"
        for gen, rep in zip(plots.labels["gen"], plots.labels["rep"], strict=True)
    ]
    return plots.with_values(np.where(at, 7.58, plots.values))


def oats_with_gaps() -> Plots:
    """Without rows 1, 2, 3, 5, 8, 13, 21, 34 and 55 of the table in its order in R's package nlme."""
    order = [
        (block, gen, nitro)
        for block in ("B4", "B6", "B2", "B5", "B1", "B3")
        for gen in ("Victory", "GoldenRain", "Marvellous")
        for nitro in ("0", "0.2", "0.4", "0.6")
    ]
    gone = {order[row - 1] for row in (1, 2, 3, 5, 8, 13, 21, 34, 55)}
    plots = published("yates.oats", "yield")
    return plots.kept([level not in gone for level in plots.levels(("block", "gen", "nitro"))])


def federer() -> Plots:
    """Federer 1956, augmented blocks: checks A to D in each of three, new lines once."""
    blocks = {
        "I": "A 83 B 77 C 78 D 78 g 70 k 75 l 74",
        "II": "A 79 B 81 C 81 D 91 e 79 i 78",
        "III": "A 92 B 79 C 87 D 81 f 89 h 96 j 82",
    }
    words = {block: text.split() for block, text in blocks.items()}
    pairs = [(b, gen, y) for b, w in words.items() for gen, y in zip(w[::2], w[1::2], strict=True)]
    return plots_of([{"block": b, "gen": gen, "y": y} for b, gen, y in pairs], "y")


def plant_growth() -> Plots:
    """Dobson 1983, An Introduction to Statistical Modelling; the table PlantGrowth of R."""
    weights = {
        "ctrl": "4.17 5.58 5.18 6.11 4.50 4.61 5.17 4.53 5.33 5.14",
        "trt1": "4.81 4.17 4.41 3.59 5.87 3.83 6.03 4.89 4.32 4.69",
        "trt2": "6.31 5.12 5.54 5.50 5.37 5.29 4.92 6.15 5.80 5.26",
    }
    return plots_of([{"group": g, "w": w} for g, text in weights.items() for w in text.split()], "w")
