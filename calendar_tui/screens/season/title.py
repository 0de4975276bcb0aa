"""The first line of the season view: the season, today, what stands beside it, and what waits."""

from __future__ import annotations

from collections.abc import Iterator

from calendar_tui.planning.plan import Plan
from calendar_tui.planning.waiting import counts_on
from calendar_tui.screens.kit.canvas import Runs, fitted
from calendar_tui.screens.kit.glyphs import Glyphs
from calendar_tui.screens.kit.kept import Kept
from calendar_tui.season.cells import cell_len, cut_text
from calendar_tui.season.wording import full_day_text, weekday_text

# Letters of the season's name that stay, and those that stay where only the first of what waits is beside them.
NAME_ROOM, LEAST_NAME = 20, 10


def kept_waits(kept: Kept, plan: Plan, clashes: bool) -> str:
    """What waits today, counted once; of clashes nothing while they are not worked out."""
    return kept.once("waits", clashes, lambda: _waits(plan, clashes))


def _waits(plan: Plan, clashes: bool) -> str:
    counts = counts_on(plan.today, plan.season.tasks, plan.clashes if clashes else ())
    if clashes:
        from calendar_tui.planning.deciding.listing import urgent_count

        counts = counts._replace(to_decide=urgent_count(plan.decisions))
    return counts.text if clashes or any(counts) else ""


def title_row(
    plan: Plan, width: int, glyphs: Glyphs, waits: str = "", notice: str = "", aside: str = ""
) -> Runs:
    """The season's name, today, what is aside, the notice, and at the right what waits.

    aside: what need not be read each time, faint. Where there is no room it goes first, then the year, the end of what
    waits up to its first count, the end of the name, and then that count.
    """
    name, beside = plan.season.name, _spaced(notice)
    for today, faint, waiting, least in _ways(plan, waits, aside):
        room = width - sum(map(cell_len, (today, faint, beside, _spaced(waiting))))
        if room >= least:
            break
    name = cut_text(name, max(room, least), glyphs.ellipsis)
    left = width - sum(map(cell_len, (name, today, faint, beside, waiting)))
    blank = " " * max(left, 0)
    runs = (
        (name, "title"),
        (today, ""),
        (faint, "faint"),
        (beside, "notice"),
        (blank, ""),
        (waiting, "notice"),
    )
    return fitted(runs, width, glyphs.ellipsis)


def _ways(plan: Plan, waits: str, aside: str) -> Iterator[tuple[str, str, str, int]]:
    """Today, what is aside and what waits, longest first; and the cells that the name is to have beside them."""
    name = cell_len(plan.season.name)
    full, short = full_day_text(plan.today), _spaced(weekday_text(plan.today))
    for faint in _shorter(aside):
        yield _spaced(full if waits else f"today {full}"), _spaced(faint), waits, name
    *longer, none = _shorter(waits)
    for waiting in longer:
        yield short, "", waiting, min(name, NAME_ROOM)
    yield short, "", longer[-1], min(name, LEAST_NAME if waits else NAME_ROOM)
    yield short, "", none, min(name, NAME_ROOM)


def _spaced(text: str) -> str:
    return f"  {text}" if text else ""


def _shorter(parts_text: str) -> Iterator[str]:
    """Parts with commas between, all of them, and without the last ones, one after the other; "" at the end."""
    parts = parts_text.split(", ")
    return (", ".join(parts[:n]) for n in range(len(parts), -1, -1))
