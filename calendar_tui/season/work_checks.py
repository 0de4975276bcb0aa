"""What must hold of chores, of the crew and of the seed they work with."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from calendar_tui.season.problems import Problem
from calendar_tui.season.readers import choices, near
from calendar_tui.season.records import Season
from calendar_tui.season.work import Chore


def _chores(season: Season) -> Iterator[Problem]:
    for i, chore in enumerate(season.chores.values()):
        for key, wrong in _chore_problems(chore):
            yield Problem(("chore", i, key), f"chore {chore.id}: {wrong}")
        for name in chore.observe:
            if name not in season.variables:
                right = (
                    choices(name, season.variables)
                    if season.variables
                    else "; there is none yet: add a variable"
                )
                text = f'chore {chore.id}: observe "{name}" is not a variable of this season{right}'
                yield Problem(("chore", i, "observe"), text)


def _chore_problems(chore: Chore) -> Iterator[tuple[str, str]]:
    """The key at fault, and the sentence."""
    if bool(chore.repeat) != bool(chore.until):
        yield (
            "repeat" if chore.repeat else "until",
            "repeat and until go together; a repeat ends at the stage in until",
        )
    if chore.until_offset_d and not chore.until:
        yield "until_offset_d", "until_offset_d moves the end of a repeat, so it needs repeat and until"
    if chore.daylight and chore.time is None:
        yield (
            "daylight",
            'daylight is looked at where the hour is known; add time = "07:00", or take daylight out',
        )
    if chore.records and chore.repeat:
        yield (
            "records",
            "a stage happens once, so a chore that repeats cannot record it; take records or repeat out",
        )
    if chore.once and not chore.together:
        yield (
            "once",
            'once is for work of several cohorts; add together = "place", "variety" or "season", or take once out',
        )
    if chore.once and chore.together == "day":
        yield "once", "what comes once a day comes with no first or last cohort; take once out"
    if chore.repeat and chore.together in ("variety", "day"):
        yield (
            "together",
            'work that repeats is together by "place" or "season"; write one of these, or take repeat out',
        )
    if chore.once and chore.repeat:
        yield "once", "a chore that repeats does not come once; take once or repeat out"
    if chore.records and (chore.together == "season" or chore.once):
        yield (
            "records",
            'a stage is recorded for each cohort of a task; write together = "place", "variety" or "day" without once, '
            "or take records out",
        )


def _seed_kinds(season: Season) -> Iterator[Problem]:
    for i, cohort in enumerate(season.cohorts.values()):
        variety = season.varieties.get(cohort.variety)
        if variety is not None and variety.seed_kind == "clone" and cohort.start == "seed":
            yield Problem(
                ("cohort", i, "start"),
                f'cohort {cohort.id} starts from seed, but its variety {variety.id} has seed_kind = "clone"; write '
                f'start = "cutting", or make it a variety of its own',
            )


def _crew(season: Season) -> Iterator[Problem]:
    if season.crew is None:
        return
    roles = {chore.who for chore in season.chores.values()} | {task.who for task in season.tasks}
    for role in season.crew.hours_per_week:
        if role not in roles and (guess := near(role, roles)):
            yield Problem(
                ("crew", "hours_per_week", role),
                f"crew: no work is for the role {role!r}{guess}".replace("'", '"'),
            )
    for day in season.crew.blocked:
        if not season.first_day.year - 1 <= day.year <= season.last_day.year + 1:
            yield Problem(
                ("crew", "blocked"),
                f"crew: {day} is far from the season, {season.first_day} to {season.last_day}; is it the right year?",
            )


WORK_CHECKS: tuple[Callable[[Season], Iterator[Problem]], ...] = (_chores, _seed_kinds, _crew)
