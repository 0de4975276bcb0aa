"""CPU time of what is handed on of a large trial: the growers' page and the open folder."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from statistics import median

from tests.bench.commands import PROGRAM, cpu_ms
from tests.bench.rows import Row
from tests.commands.reported_season import TODAY, trial_season

# 192 plots in 12 columns by 16 spacings, and 5,949 observations of them.
SPACINGS, BLOCKS, WEEKS = 16, 4, 28


def handed_on_rows(folder: Path, rounds: int) -> Iterator[Row]:
    season = folder / "trial.toml"
    season.write_text(trial_season(SPACINGS, BLOCKS, WEEKS), encoding="utf-8")
    page = [PROGRAM, "report", str(season), "--html", str(folder / "found.html"), "--yes", "--today", TODAY]
    out = [PROGRAM, "export", str(season), "--folder", str(folder / "open"), "--yes", "--today", TODAY]
    for what, words, below in (("growers' page", page, 5), ("open folder", out, 5)):
        spent = median(cpu_ms(words) for _ in range(rounds)) / 1000
        yield Row(
            f"{what} of 192 plots and 5,949 observations",
            spent,
            "s",
            below,
            "of CPU, Python and its libraries loaded",
        )
