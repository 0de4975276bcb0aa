"""Trials with values, on the small farm: published tables put into a season, and small ones that are written here."""

from __future__ import annotations

import csv
from collections.abc import Iterable, Mapping, Sequence
from copy import deepcopy
from datetime import date
from pathlib import Path
from typing import Any

from calendar_tui.planning.plan import make_plan
from calendar_tui.planning.trial_analysis.measures import measure_named
from calendar_tui.planning.trial_analysis.working_out import Settings, analyses_by
from tests.planning.farm import FARM, season_of

DATA = Path(__file__).parents[1] / "nature" / "field_analysis" / "data"
DAY, TODAY = date(2027, 2, 1), date(2027, 3, 1)
YIELD = {"id": "yield", "unit": "kg"}
Row = Mapping[str, Any]


def table(name: str) -> list[dict[str, str]]:
    """The rows of a published table."""
    with (DATA / f"{name}.txt").open(encoding="utf-8", newline="") as lines:
        return list(csv.DictReader(lines, delimiter="\t"))


def trial(design: str, factors: Mapping[str, Iterable[str]], **more: Any) -> dict[str, Any]:
    levels = {factor: list(dict.fromkeys(names)) for factor, names in factors.items()}
    return {"id": "K1", "design": design, "factors": levels, "place": "F1", **more}


def plot(number: int, treatment: Mapping[str, str], **more: Any) -> dict[str, Any]:
    """By default each plot in a row of its own."""
    return {
        "id": f"K1-{number}",
        "trial": "K1",
        "number": number,
        "row": number,
        "column": 1,
        "place": "F1",
    } | {
        "treatment": dict(treatment),
        **more,
    }


def seen(at: str, value: object, variable: str = "yield", day: date = DAY) -> dict[str, Any]:
    return {"date": day, "at": at, "variable": variable, "value": str(value)}


def season_with(of: Mapping[str, Any], plots: Sequence[Row], observations: Sequence[Row], **more: Any):
    """The season of a trial. more: further kinds of record, such as variable; the yield in kg is there without."""
    data = {
        "variable": [YIELD],
        "trial": [deepcopy(dict(of))],
        "plot": list(plots),
        "observation": list(observations),
    }
    return season_of({**deepcopy(FARM), "format": 3, **data, **more})


def published_season(
    name: str,
    design: str,
    factors: Sequence[str],
    value: str,
    block: str = "",
    ground: tuple[str, str] | None = None,
):
    """A published table, a row a plot, as a trial of a season. ground: its columns of row and column, where it has them."""
    rows = table(name)
    blocks = list(dict.fromkeys(row[block] for row in rows)) if block else []
    plots = [
        plot(
            n,
            {factor: row[factor] for factor in factors},
            **({"block": blocks.index(row[block]) + 1} if block else {}),
            **({"row": int(row[ground[0]]), "column": int(row[ground[1]])} if ground else {}),
        )
        for n, row in enumerate(rows, 1)
    ]
    found = [seen(one["id"], row[value]) for one, row in zip(plots, rows, strict=True)]
    return season_with(trial(design, {f: [row[f] for row in rows] for f in factors}), plots, found)


def small(values=(10.2, 12.1, 9.8, 13.0, 11.1, 12.4), **variable):
    """Blocks of two varieties, a value each; None where there is none. variable: further keys of the yield."""
    plots = [
        plot(n, {"variety": "amber" if n % 2 else "plain"}, block=(n + 1) // 2)
        for n in range(1, len(values) + 1)
    ]
    found = [seen(f"K1-{n}", value) for n, value in enumerate(values, 1) if value is not None]
    of = trial("blocks", {"variety": ("amber", "plain")})
    return season_with(of, plots, found, variable=[YIELD | variable])


def by_factor(factor, levels, values, unit="kg", **more):
    """Blocks of these levels; values: by block, then by level. unit: of the yield."""
    count = len(levels)
    plots = [
        plot(n, {factor: levels[(n - 1) % count]}, block=(n - 1) // count + 1)
        for n in range(1, len(values) + 1)
    ]
    found = [seen(f"K1-{n}", value) for n, value in enumerate(values, 1)]
    return season_with(
        trial("blocks", {factor: levels}, **more), plots, found, variable=[YIELD | {"unit": unit}]
    )


def plan_of(season):
    return make_plan(season, TODAY)


def analysed(season, measure="yield", **settings):
    of = season.trials["K1"]
    (one,) = analyses_by(season, of, measure_named(season, of, measure), Settings(**settings))
    return one


def figures_of(one):
    """F, p and the degrees of freedom of each factor and combination."""
    assert one.problem == ""
    return {" ".join(of.factors): (of.f, of.p, of.df, of.error_df) for of in one.tables}


def means_of(one):
    """The means of the first factor by level."""
    assert one.problem == ""
    return {row.level[0]: row.mean for row in one.tables[0].rows}
