"""Speed and bytes per key, against their budgets: python -m tests.bench [ROUNDS]. About two minutes; wants a quiet machine.

Ratios are medians of rounds that take turns, so that a slow moment of the machine falls on both sides.
"""

from __future__ import annotations

import shutil
import sys
import tempfile
import time
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path
from statistics import median

from calendar_tui.nature import sky
from calendar_tui.planning.changes.slips import record_date
from calendar_tui.planning.plan import make_plan
from calendar_tui.season.edits import Data
from calendar_tui.season.reading import read_season
from calendar_tui.season.records import Season
from calendar_tui.storage.season_file import load
from tests.bench.analyses import analysis_rows
from tests.bench.big_season import EXAMPLE, example_today, heated, season_data, season_text
from tests.bench.commands import PROGRAM, command_rows, tick_row, week_row
from tests.bench.field_books import cell_row
from tests.bench.fits import fit_rows
from tests.bench.handed_on import handed_on_rows
from tests.bench.line import Line
from tests.bench.long_histories import history_rows
from tests.bench.observed_season import observed_data
from tests.bench.responses import response_rows
from tests.bench.rows import Row
from tests.bench.staggering import staggering_rows

COHORTS, TASKS = 100, 5000
BARE = str(Path(__file__).with_name("bare_app.py"))
TODAY = {"CALENDAR_TUI_TODAY": example_today().isoformat()}
# Keys pressed one after the other, in the whole season and zoomed in; only some of them are counted.
TIME_MOVES = ("Right", "Right", "Right", "Left", "+", "Right", "Right", "Left", "-")
COHORT_MOVES = ("Down", "Down", "Down", "Up", "Up", "+", "Down", "Down", "Down", "Up", "-")
PAGES = ("+", "0", "PgDn", "PgDn", "PgUp", "+", "PgDn", "PgUp")
VIEWS = (
    "l",
    "Escape",
    "d",
    "Escape",
    "v",
    "Escape",
    "w",
    "g",
    "/",
    "Escape",
    "Escape",
    "h",
    "Escape",
    "r",
    "Escape",
    "o",
    "Escape",
    "Enter",
    "Escape",
    "?",
    "Escape",
)
LARGE_SCREEN = (200, 60)
LARGE_SCREEN_MOVES = (
    ("a move of the time cursor", ("Right",) * 6 + ("Left",) * 3, 8),
    ("a move to another cohort", ("Down",) * 6 + ("Up",) * 3, 8),
    ("a page of cohorts", ("PgDn",) * 4 + ("PgUp",) * 3, 0),
    ("zoomed", ("+",), 0),
    ("a page of time", ("PgDn", "PgDn", "PgUp", "PgUp"), 0),
)
LATE_COHORT = "A3-00"
# How a program takes the whole terminal (xterm's alternate screen), and gives it back.
FULL_SCREEN, FULL_SCREEN_OFF = b"\x1b[?1049h", b"\x1b[?1049l"


def main() -> None:
    rounds = int(sys.argv[1]) if len(sys.argv) > 1 else 11
    print("| what | measured | budget | |\n| --- | ---: | ---: | --- |")
    with tempfile.TemporaryDirectory(prefix="calendar-tui-bench-") as folder:
        for row in _rows(Path(folder), rounds):
            budget = (
                f"< {row.below:,.3g}" if 0 < row.below < 100 else f"< {row.below:,.0f}" if row.below else ""
            )
            missed = "**missed** " if row.below and row.value >= row.below else ""
            value = f"{row.value:,.0f}" if row.value >= 100 else f"{row.value:.2f}"
            print(
                f"| {row.what} | {value} {row.unit} | {budget} | {missed}{row.note} |".replace("  ", " "),
                flush=True,
            )


def _rows(folder: Path, rounds: int) -> Iterator[Row]:
    big = folder / "big.toml"
    big.write_text(season_text(season_data(COHORTS, TASKS)), encoding="utf-8")
    small = folder / EXAMPLE.name
    shutil.copyfile(EXAMPLE, small)
    yield from command_rows(small, big, rounds)
    yield from _planning(big, rounds)
    yield from _heat(rounds)
    yield from response_rows(rounds)
    yield from fit_rows(rounds)
    yield from analysis_rows(rounds)
    yield from staggering_rows(min(rounds, 5))
    yield from handed_on_rows(folder, min(rounds, 5))
    yield tick_row(big, rounds)
    yield from history_rows(folder / "long.toml", rounds)
    observed, bare = (folder / name for name in ("observed.toml", "unobserved.toml"))
    observed.write_text(season_text(observed_data()), encoding="utf-8")
    bare.write_text(season_text(observed_data(0)), encoding="utf-8")
    yield week_row(observed, bare, rounds)
    yield _first_picture("first picture, 6,000 observations", observed, rounds, 1.8)
    yield cell_row(observed, rounds)
    yield _first_picture("first picture, example season", small, rounds, 1.3)
    yield _first_picture(f"first picture, {COHORTS} cohorts", big, rounds, 1.8)
    yield from _keys(small)
    larger = folder / "larger.toml"
    larger.write_text(season_text(season_data(2 * COHORTS, 2 * TASKS)), encoding="utf-8")
    yield from _large_screen(larger)


def _planning(path: Path, rounds: int) -> Iterator[Row]:
    season = _season(path)
    yield Row(
        "the whole season laid out",
        _ms(lambda: _plan_anew(season), rounds),
        "ms",
        note="with the sky worked out",
    )
    yield Row(
        "the whole season laid out again", _ms(lambda: make_plan(season, example_today()), 3 * rounds), "ms"
    )
    plan = make_plan(season, example_today())
    late = season.cohorts[LATE_COHORT]
    for answer in ("hold", "shift"):
        proposal = record_date(plan, late, "transplant", plan.today, answer)
        spent = _ms(lambda a=answer: record_date(plan, late, "transplant", plan.today, a), 10 * rounds)  # type: ignore[misc]
        note = f"{len(proposal.stages)} stages and {len(proposal.tasks)} tasks compared"
        yield Row(f"one cohort re-planned, lights off {answer}", spent, "ms", 12, note)


def _heat(rounds: int) -> Iterator[Row]:
    """With heat switched on: growth in cohorts and in years of daily temperatures."""
    for cohorts, years in ((25, 30), (50, 30), (100, 30), (100, 15), (100, 1)):
        season = heated(_read(season_data(cohorts, TASKS)), years)
        spent = _ms(lambda s=season: make_plan(s, example_today()), rounds)  # type: ignore[misc]
        yield Row(f"laid out on heat, {cohorts} cohorts, {years} years", spent, "ms", 400)


def _plan_anew(season: Season) -> None:
    for function in vars(sky).values():
        if hasattr(function, "cache_clear"):
            function.cache_clear()
    make_plan(season, example_today())


def _first_picture(what: str, season: Path, rounds: int, below: float) -> Row:
    ours, bare = _in_turn(
        lambda: _picture_ms([PROGRAM, str(season)]), lambda: _picture_ms([sys.executable, BARE]), rounds
    )
    return Row(
        f"{what}, to a bare header and footer", ours / bare, "x", below, f"{ours:.0f} ms to {bare:.0f} ms"
    )


def _keys(season: Path) -> Iterator[Row]:
    with Line([PROGRAM, str(season)], TODAY) as line:
        _refuse_all_but_a_full_screen(line)
        yield Row("start", line.start.bytes, "bytes", 24_000)
        yield _dearest("move of the time cursor", TIME_MOVES, line, ("Right", "Left"), 700)
        yield _dearest("move to another cohort", COHORT_MOVES, line, ("Up", "Down"), 700)
        yield _dearest("page", PAGES, line, ("PgUp", "PgDn"), 7_000)
        yield _dearest("view opened or left", VIEWS, line, VIEWS, 7_000)


def _large_screen(season: Path) -> Iterator[Row]:
    """The work of moves on a large screen full of cohorts, zoomed out and in."""
    with Line([PROGRAM, str(season)], TODAY, *LARGE_SCREEN) as line:
        _refuse_all_but_a_full_screen(line)
        line.press("Right")  # what is worked out at the first move and kept
        for what, keys, below in LARGE_SCREEN_MOVES:
            costs = [line.press(key).cpu_ms for key in keys]
            note = f"{max(costs):.1f} at most, of {len(keys)}"
            columns, rows = LARGE_SCREEN
            yield Row(f"{what}, {2 * COHORTS} cohorts on {columns}x{rows}", median(costs), "ms", below, note)


def _dearest(what: str, keys: Sequence[str], line: Line, counted: Sequence[str], below: float) -> Row:
    costs = [(key, line.press(key)) for key in keys]
    if silent := [key for key, cost in costs if not cost.bytes]:
        raise SystemExit(f"{what}: {', '.join(silent)} moved nothing, so the measure says nothing")
    looked_at = [(cost.bytes, cost.ms, key) for key, cost in costs if key in counted]
    size, _, key = max(looked_at)
    note = f"{key}; median {median(b for b, *_ in looked_at):,.0f}; {median(ms for _, ms, _ in looked_at):.0f} ms"
    return Row(f"dearest {what} of {len(looked_at)}", size, "bytes", below, note)


def _picture_ms(command: Sequence[str]) -> float:
    """CPU time until the first picture is whole, in ms."""
    with Line(command, TODAY) as line:
        _refuse_all_but_a_full_screen(line)
        return line.picture_cpu_ms


def _refuse_all_but_a_full_screen(line: Line) -> None:
    """A program that ends with a message is quick and cheap too; it must not count."""
    if FULL_SCREEN not in line.seen or line.seen.rfind(FULL_SCREEN_OFF) > line.seen.rfind(FULL_SCREEN):
        raise SystemExit(f"no full screen, but: {line.seen.decode(errors='replace')}")


def _season(path: Path) -> Season:
    return _read(load(path).data)


def _read(data: Data) -> Season:
    season = read_season(data).season
    assert season is not None
    return season


def _timed(work: Callable[[], object]) -> float:
    began = time.perf_counter()
    work()
    return (time.perf_counter() - began) * 1000


def _ms(work: Callable[[], object], times: int) -> float:
    return median(_timed(work) for _ in range(times))


def _in_turn(ours: Callable[[], float], other: Callable[[], float], rounds: int) -> tuple[float, float]:
    """The medians (ms) of two measures that take turns; the first turn of each only warms the caches."""
    pairs = [(ours(), other()) for _ in range(rounds + 1)][1:]
    return median(a for a, _ in pairs), median(b for _, b in pairs)


if __name__ == "__main__":
    main()
