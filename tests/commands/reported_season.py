"""A season at its end with a trial in it: dates by varieties, counted, measured and weighed; every figure invented by a formula."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from itertools import product

from tests.commands.small_season import PLAIN

TODAY = "2027-05-20"
VARIABLES = """
[[variable]]
id = "height"
unit = "cm"
method = "ground to the tip"

[[variable]]
id = "females"
name = "female plants"
unit = "%"
scale = "share"

[[variable]]
id = "dry"
name = "dry flower"
unit = "kg"

[[variable]]
id = "mould"
unit = "ppm"
"""
_DAYS = ("2026-11-20", "2026-12-04", "2026-12-18")


def trial_season(spacings: int = 3, blocks: int = 4, weeks: int = 1) -> str:
    """A split plot of three dates by so many spacings. weeks: how often heights were measured."""
    levels = [f"1.5x{0.5 + 0.1 * n:.1f}" for n in range(spacings)]
    plots = list(_plots(levels, blocks))
    rows = "\n".join(_plot(*one, spacings) for one in plots)
    seen = "\n".join(line for one in plots for line in _seen(*one, weeks))
    return f"""{PLAIN}
{_cohorts()}
{VARIABLES}
[[trial]]
id = "K1"
name = "Late planting"
question = "Does planting two weeks later cost dry flower, and does it cost less where plants stand closer?"
design = "split plot"
factors = {{ date = [{", ".join(f'"{day}"' for day in _DAYS)}], spacing = [{", ".join(f'"{one}"' for one in levels)}] }}
blocks = {blocks}
place = "F1"
variety = "amber"
spacing_m = [1.5, 0.5]
seed = 7

[[outage]]
place = "H1"
from = 2026-12-01
to = 2026-12-03

[records]
task = [
  {{ id = "m1", date = 2027-01-11, what = "Measure plots", cohort = "K-1", hours = 3.0, state = "done", done_on = 2027-01-11, spent = 4.5 }},
]
plot = [
{rows}
]
observation = [
{seen}
]
"""


def _cohorts() -> str:
    return "\n".join(
        f"""[[cohort]]
id = "K-{n}"
variety = "amber"
start = "seed"
place = "F1"
plants = 400
planned = {{ seeding = {day} }}
recorded = {{ seeding = {date.fromisoformat(day) + timedelta(days=4 * (n == 3))}, flowering = {date.fromisoformat(day) + timedelta(days=80 - 9 * n)} }}
causes = {{ {'seeding = "rain"' if n == 3 else ""} }}
"""
        for n, day in enumerate(_DAYS, 1)
    )


Plot = tuple[int, int, int, int, str]


def _plots(levels: list[str], blocks: int) -> Iterator[Plot]:
    """Block, main plot, sub-plot, date and spacing, turned a little in each block."""
    for block, main, sub in product(range(blocks), range(len(_DAYS)), range(len(levels))):
        day, level = (main + block) % len(_DAYS), levels[(sub + block + main) % len(levels)]
        yield block + 1, main + 1, sub + 1, day, level


def _id(block: int, main: int, sub: int) -> str:
    return f"K1-{block}{main}{sub:02}"


def _plot(block: int, main: int, sub: int, day: int, level: str, spacings: int) -> str:
    column = (main - 1) * spacings + sub
    lost = ', lost = 2027-02-01, why = "hail"' if (block, main, sub) == (2, 1, 1) else ""
    return (
        f'  {{ id = "{_id(block, main, sub)}", trial = "K1", number = {block}{main}{sub:02}, block = {block}, main = {main}, sub = {sub}, row = {block}, '
        f'column = {column}, treatment = {{ date = "{_DAYS[day]}", spacing = "{level}" }}, cohort = "K-{day + 1}", place = "F1", plants = 36{lost} }},'
    )


def _seen(block: int, main: int, sub: int, day: int, level: str, weeks: int) -> Iterator[str]:
    """Later and wider is less; the rest is noise that the same plot always has."""
    at, wide = _id(block, main, sub), float(level.partition("x")[2])
    noise = ((block * 7919 + main * 104729 + sub * 1299709) % 101 - 50) / 50
    for week in range(weeks):
        height = 150 - 20 * day + 4 * noise + week
        yield _line(date(2027, 1, 12) + timedelta(days=week), at, "height", f"{height:.1f}")
    if (block, main, sub) == (2, 1, 1):
        return
    yield _line(date(2027, 1, 13), at, "females", f"{17 - day + (block * 5 + sub * 3 + main) % 4} of 20")
    yield _line(date(2027, 4, 20), at, "dry", f"{3.2 - 0.5 * day + 1.5 * (wide - 0.5) + 0.2 * noise:.2f}")
    yield _line(date(2027, 4, 22), at, "mould", "<0.5" if block == 1 else f"{1 + block + noise:.1f}")


def _line(day: date, at: str, variable: str, value: str) -> str:
    return f'  {{ date = {day}, at = "{at}", variable = "{variable}", value = "{value}", who = "Anna Ejemplo" }},'
