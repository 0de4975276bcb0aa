"""Published trials as season files and as tables, for the command that analyses either."""

from __future__ import annotations

import csv
from collections.abc import Sequence
from copy import deepcopy
from pathlib import Path
from typing import Any

from tests.bench.big_season import season_text
from tests.planning.analysed_farm import YIELD, plot, seen, table, trial
from tests.planning.farm import FARM

OATS_WITHOUT = (1, 8, 13, 40)
TODAY = "2027-03-01"


def oats(gone: Sequence[int] = ()) -> tuple[list[dict[str, Any]], list[dict[str, Any]]]:
    """Plots and observations of yates.oats; gone: plots without a value."""
    rows = table("yates.oats")
    plots = [
        plot(
            n,
            {"gen": row["gen"], "nitro": row["nitro"]},
            block=int(row["block"][1:]),
            row=int(row["row"]),
            column=int(row["col"]),
        )
        for n, row in enumerate(rows, 1)
    ]
    return plots, [seen(f"K1-{n}", row["yield"]) for n, row in enumerate(rows, 1) if n not in gone]


def season_file(folder: Path, plots: Sequence[Any], found: Sequence[Any], **more: Any) -> Path:
    """A season with the oats as the split plot K1; more: further kinds of record."""
    levels = {name: [one["treatment"][name] for one in plots] for name in ("gen", "nitro")}
    data = {"variable": [YIELD], "trial": [trial("split plot", levels, name="Oats")]}
    records = {"plot": list(plots), "observation": list(found), "task": []}
    path = folder / "oats.toml"
    path.write_text(season_text({**deepcopy(FARM), "format": 3, **data, **more, **records}), encoding="utf-8")
    return path


def table_file(folder: Path, plots: Sequence[Any], found: Sequence[Any]) -> Path:
    """The same as a table, a line a plot that has a value."""
    values = {one["at"]: one["value"] for one in found}
    path = folder / "oats.csv"
    with path.open("w", encoding="utf-8", newline="") as file:
        lines = csv.writer(file)
        lines.writerow(("plot", "block", "row", "column", "gen", "nitro", "yield"))
        for one in plots:
            if one["id"] in values:
                cells = (one["id"], one["block"], one["row"], one["column"], *one["treatment"].values())
                lines.writerow((*cells, values[one["id"]]))
    return path
