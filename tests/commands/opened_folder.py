"""An observed season, the command that hands it on as an open folder, and that folder read back."""

from __future__ import annotations

import csv
import json
from pathlib import Path

from observed_season import TODAY, observe
from small_season import run

from calendar_tui.handing_on.folder.package import DESCRIPTION


def export(path, *words, today=TODAY, typed=""):
    return run("export", path, "--folder", "out", *words, today=today, typed=typed)


def table(name: str, folder: str = "out") -> list[dict[str, str]]:
    with (Path(folder) / f"{name}.csv").open(encoding="utf-8", newline="") as rows:
        return list(csv.DictReader(rows))


def described(folder: str = "out"):
    return json.loads((Path(folder) / DESCRIPTION).read_text(encoding="utf-8"))


def observe_all(season: Path) -> Path:
    """The season with a value of each sort."""
    for at, variable, value in (
        ("K1-101", "height", "84.50"),
        ("K1-102", "height", "<0.05"),
        ("K1-201", "flowers", "4 of 10"),
        ("K1-201 2", "stem", "-0"),
        ("B1", "stand", "12"),
        ("K1-202", "height", "."),
    ):
        observe(season, at, variable, value, "--date", "2027-01-12", "--who", "Anna Ejemplo", "--yes")
    return season
