"""What to do next where a view has nothing to show: one sentence, with the key."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from shlex import quote

from calendar_tui.handing_on.words.plain_text import count_text
from calendar_tui.language.speaking import marked, tr
from calendar_tui.season.records import Season

# What is added in turn, and how; a season without the one cannot have the next.
_AT_THE_FARM = marked("{farm} for the farm, then {add} there to add one")
_STEPS = (
    ("places", marked("No place yet: press {keys}."), _AT_THE_FARM),
    ("varieties", marked("No variety yet: press {keys}."), _AT_THE_FARM),
    ("cohorts", marked("No cohort yet: press {keys}."), marked("{cohort} to add one")),
)


# How the key of a binding of the full screen is written, by the binding's id.
KeyName = Callable[[str], str]


def next_step(season: Season, key: KeyName, here: str = "view.escape") -> str:
    """The first thing that a season lacks, and the keys that add it; "" where it has a cohort.

    here: the binding that leads to the season view, "" in it.
    """
    lacks, how = next((step[1:] for step in _STEPS if not getattr(season, step[0])), ("", ""))
    if not lacks:
        return ""
    keys = tr(how, farm=key("season.f"), add=key("records.a"), cohort=key("season.a"))
    return tr(lacks, keys=tr("{back}, then {keys}", back=key(here), keys=keys) if here else keys)


def left_out_text(tasks: int, today: date) -> str:
    """How many tasks a season was made without, as they were due before today, and what adds them; "" without any."""
    if not tasks:
        return ""
    many = tasks > 1
    return (
        f"{count_text(tasks, 'task')} due before today {'are' if many else 'is'} left out. "
        f"To add {'them' if many else 'it'}, delete the line since = {today} from the file."
    )


def no_lamps_text(season: Season, key: KeyName) -> str:
    """Where lamps are set; the next step where no place could have some."""
    if not season.places:
        return next_step(season, key)
    return (
        f"No place has lamps yet: press {key('view.escape')}, then {key('season.f')} for the farm, "
        f"and {key('records.enter,e')} on a place to set its lamps."
    )


def no_tasks_text(season: Season, key: KeyName) -> str:
    """Why a week has no task, and the keys that lead to some."""
    after, before = key("week.right,right_square_bracket"), key("week.left,left_square_bracket")
    return next_step(season, key) or tr(
        "No tasks this week: press {after} for the week after, or {before} for the week before.",
        after=after.split()[-1],
        before=before.split()[-1],
    )


def nothing_waits_text(season: Season, key: KeyName) -> str:
    return next_step(season, key) or tr("Nothing waits: press {key} for the week.", key=key("season.w"))


def first_command(season: Season, file: str) -> str:
    """That a season in a file has no cohort yet, and the command that adds the first thing it lacks."""
    place, variety = next(iter(season.places), ""), next(iter(season.varieties), "")
    if not place:
        what, record = "place", "place H1 kind 'hoop house' area 180"
    elif not variety:
        what, record = "variety", "variety amber type oil-unknown"
    else:
        what = "cohort"
        record = f"cohort A1 variety {variety} place {place} start seed seeding {season.first_day}"
    return f"{file}: this season has no {what} yet; add one, such as: calendar-tui add {quote(file)} {record}"
