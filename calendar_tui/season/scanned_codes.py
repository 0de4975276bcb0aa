"""What the code of a sheet or a label stands for, as a hand scanner types it: a task, a bag, a plot, or a tray."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from difflib import get_close_matches
from typing import NamedTuple

from calendar_tui.language.speaking import phrase
from calendar_tui.season.readers import Unreadable, shown
from calendar_tui.season.records import Season
from calendar_tui.season.sample_ids import grouped, nearest_ids, plain_id

TASK, BAG, PLOT, TRAY = "task", "bag", "plot", "tray"
# Between a cohort and the number of its tray.
TRAY_SIGN = "/"
_MOST_NEAR = 3


class Scanned(NamedTuple):
    """kind: task, bag, plot or tray. id: of that record; of a tray its cohort, and n which tray."""

    kind: str
    id: str
    n: int = 0


def tray_code(cohort: str, n: int) -> str:
    """What the code of a cohort's nth tray holds: "A2/3"."""
    return f"{cohort}{TRAY_SIGN}{n}"


def scanned(season: Season, typed: str) -> Scanned:
    """What a code stands for; the whole code, letters in any case. Raises Unreadable with the codes near it."""
    code = typed.strip()
    for kind, find in _FINDERS.items():
        if (named := find(season, code)) is not None:
            return Scanned(kind, *named)
    near = near_codes(season, code)
    none = phrase("{typed} is no code of this season", typed=shown(code))
    meant = phrase("; near it: {codes}", codes=", ".join(near)) if near else ""
    raise Unreadable(f"{none}{meant}. {phrase('Nothing is ticked.')}")


def near_codes(season: Season, code: str) -> tuple[str, ...]:
    """The ids that are most like a code, as they are printed."""
    tasks = [task.id for task in season.tasks]
    likest = get_close_matches(code.casefold(), [*tasks, *season.plots], n=_MOST_NEAR, cutoff=0.6)
    return (*likest, *map(grouped, nearest_ids(plain_id(code), season.samples)))[:_MOST_NEAR]


def _task(season: Season, code: str) -> tuple[str] | None:
    return _named({task.id: None for task in season.tasks}, code)


def _bag(season: Season, code: str) -> tuple[str] | None:
    return (name,) if (name := plain_id(code)) in season.samples else None


def _plot(season: Season, code: str) -> tuple[str] | None:
    return _named(season.plots, code)


def _tray(season: Season, code: str) -> tuple[str, int] | None:
    cohort, sign, number = code.rpartition(TRAY_SIGN)
    if not sign or not (number.isascii() and number.isdecimal()):
        return None
    named = _named(season.cohorts, cohort)
    return None if named is None else (*named, int(number))


def _named(records: Mapping[str, object], code: str) -> tuple[str] | None:
    """The one of this very name, else the only one of it in other letters."""
    if code in records:
        return (code,)
    alike = [name for name in records if name.casefold() == code.casefold()]
    return (alike[0],) if len(alike) == 1 else None


_FINDERS: Mapping[str, Callable[[Season, str], tuple[str] | tuple[str, int] | None]] = {
    TASK: _task,
    BAG: _bag,
    PLOT: _plot,
    TRAY: _tray,
}
