"""What to do next where a view has nothing to show: one sentence, with the key."""

from __future__ import annotations

from datetime import date
from shlex import quote

from calendar_tui.season.records import Season
from calendar_tui.season.wording import full_day_text

# What is added in turn, and where; a season without the one cannot have the next.
_STEPS = (("places", "place"), ("varieties", "variety"), ("cohorts", "cohort"))


def next_step(season: Season, here: str = "Esc") -> str:
    """The first thing that a season lacks, and the keys that add it; "" where it has a cohort.

    here: the key that leads to the season view, "" in it.
    """
    what = next((word for records, word in _STEPS if not getattr(season, records)), "")
    if not what:
        return ""
    keys = [here] if here else []
    keys += ["a to add one"] if what == "cohort" else ["f for the farm", "a there to add one"]
    return f"No {what} yet: press {', then '.join(keys)}."


def left_out_text(tasks: int, today: date) -> str:
    """How many tasks a season was made without, as they were due before today, and what adds them; "" without any."""
    if not tasks:
        return ""
    return (
        f"Tasks due before today, {full_day_text(today)}, are left out: {tasks}. To add them, delete the line "
        f"since = {today} from the file."
    )


def no_lamps_text(season: Season) -> str:
    """Where lamps are set; the next step where no place could have some."""
    if not season.places:
        return next_step(season)
    return "No place has lamps yet: press Esc, then f for the farm, and Enter on a place to set its lamps."


def no_tasks_text(season: Season) -> str:
    """Why a week has no task, and the keys that lead to some."""
    return next_step(season) or "No tasks this week: press ] for the week after, or [ for the week before."


def nothing_waits_text(season: Season) -> str:
    return next_step(season) or "Nothing waits: press w for the week."


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
