"""A generated season with a trial far beyond any farm's: 192 plots, and 6,000 observations of them. Invented."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from itertools import islice, product

from calendar_tui.season.edits import Data
from tests.bench.big_season import EXAMPLE, example_today
from tests.season_data import data_of, without_crop

PLOTS, OBSERVATIONS = 192, 6000
TRIAL, COHORT, PLACE = "K1", "A1", "F1"
BLOCKS, LEVELS = 4, 48
VARIABLES = {"height": "cm", "width": "cm", "stem": "mm", "leaves": "1"}


def observed_data(observations: int = OBSERVATIONS) -> Data:
    """The data of the example with such a trial, the newest of its observations a week before today."""
    data = data_of(without_crop(EXAMPLE.read_text(encoding="utf-8")))
    cohort, place = data["cohort"][0]["id"], data["cohort"][0]["place"]
    data["trial"] = [
        {
            "id": TRIAL,
            "design": "blocks",
            "factors": {"line": [f"line {n:02}" for n in range(1, LEVELS + 1)]},
            "blocks": BLOCKS,
            "place": place,
            "seed": 1,
        }
    ]
    data["variable"] = [{"id": name, "unit": unit, "low": 0, "high": 400} for name, unit in VARIABLES.items()]
    data["chore"].append(
        {
            "id": "measure-plots",
            "what": "Measure plots",
            "stage": "transplant",
            "repeat": "FREQ=WEEKLY",
            "until": "flowering",
            "observe": list(VARIABLES),
        }
    )
    data["plot"] = [
        _plot(block, n, cohort, place) for block, n in product(range(1, BLOCKS + 1), range(1, LEVELS + 1))
    ]
    data["observation"] = list(islice(_observations(), observations))
    return data


def _plot(block: int, n: int, cohort: str, place: str) -> Data:
    return {
        "id": f"{TRIAL}-{block}{n:02}",
        "trial": TRIAL,
        "number": 100 * block + n,
        "block": block,
        "row": block,
        "column": n,
        "treatment": {"line": f"line {(n * 7 + block) % LEVELS + 1:02}"},
        "cohort": cohort,
        "place": place,
        "plants": 12,
    }


def _observations() -> Iterator[Data]:
    """Week by week backwards from a week ago, each plot and variable once."""
    day = example_today() - timedelta(days=7)
    while day > date(2000, 1, 1):
        for (block, n), variable in product(product(range(1, BLOCKS + 1), range(1, LEVELS + 1)), VARIABLES):
            value = f"{40 + (block * 7 + n * 13 + day.toordinal()) % 60}.{n % 10}"
            yield {
                "date": day,
                "at": f"{TRIAL}-{block}{n:02}",
                "variable": variable,
                "value": value,
                "who": "Ana",
            }
        day -= timedelta(days=1)
