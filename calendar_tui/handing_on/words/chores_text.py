"""The chores to hand on, in lines."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import date

from calendar_tui.handing_on.words.plain_text import count_text, wrapped
from calendar_tui.planning.changes.chore_change import (
    KEYS,
    ChoreField,
    by_stage,
    right_value,
    shown_text,
    typed_text,
)
from calendar_tui.planning.tasks.samplings import cuts_by_plan, is_in_plan
from calendar_tui.season.cells import CUT, cell_len, cut_text, filled
from calendar_tui.season.field_names import field_words
from calendar_tui.season.fields import MARKS
from calendar_tui.season.records import Chore, Season
from calendar_tui.season.sampling import Sampling
from calendar_tui.season.wording import cohorts_text, full_day_text, stage_text, task_hours_text

# What one task is for, by the chore's `together`.
_ONE_TASK = {
    "place": "for the place",
    "season": "for the season",
    "variety": "for all seed, and one for all cuttings, of a variety",
    "day": "for all on one day, wherever they stand",
}
GUESSES = "~ and placeholder: a guess until you set it."
_EACH = {"DAILY": "day", "WEEKLY": "week", "MONTHLY": "month", "YEARLY": "year"}
_WEEKDAYS = {day[:2].upper(): day for day in ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")}
_MONTHS = {
    str(n): name
    for n, name in enumerate(
        ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"], 1
    )
}


def days_off_text(offset_d: int) -> str:
    """ "+7 d", "-3 d", "" on the day."""
    return f"{offset_d:+d} d" if offset_d else ""


def repeat_text(chore: Chore) -> str:
    """ "every week on Mon, Thu", "every 3 days", "every day, 5 times"; other parts of the rule stand behind. "" for once."""
    parts = dict(part.split("=", 1) for part in chore.repeat.upper().split(";") if "=" in part)
    freq = parts.pop("FREQ", "")
    if not freq:
        return ""
    step = int(parts.pop("INTERVAL", "1"))
    every = f"every {_EACH[freq]}" if step == 1 else f"every {step} {_EACH[freq]}s"
    for key, before, names in (("BYDAY", "on", _WEEKDAYS), ("BYMONTH", "in", _MONTHS)):
        named = parts.get(key, "").split(",")
        if all(name in names for name in named):
            every += f" {before} {', '.join(names[name] for name in named)}"
            del parts[key]
    times = f", {parts.pop('COUNT')} times" if "COUNT" in parts else ""
    return " ".join([every, *(f"{name}={value}" for name, value in parts.items())]) + times


def when_text(chore: Chore) -> str:
    """ "transplant +7 d, every week until harvest -3 d"; sown in place it may hang on another stage."""
    first = f"{stage_text(chore.stage)} {days_off_text(chore.offset_d)}".strip()
    if chore.without_nursery:
        first += f" (sown in place: {stage_text(chore.without_nursery)})"
    if not chore.repeat:
        return first
    end = f"{stage_text(chore.until)} {days_off_text(chore.until_offset_d)}".strip()
    return f"{first}, {repeat_text(chore)} until {end}"


def days_text_of(season: Season, chore: Chore) -> str:
    """When it is done, as `when_text` has it; where sampling plans decide on which days bags are cut, these."""
    if not cuts_by_plan(season, chore):
        return when_text(chore)
    plans = "; ".join(map(plan_text, season.samplings.values()))
    left = [name for name in season.cohorts if not is_in_plan(season, name)]
    own = f"; {cohorts_text(left)}, in no plan: {when_text(chore)}" if left else ""
    return f"one task a trip, by the sampling plan: {plans}{own}"


def plan_text(plan: Sampling) -> str:
    """ "weekly, every 7 d on Tue from flowering to the last pass, of all cohorts"."""
    begins = full_day_text(plan.begins) if isinstance(plan.begins, date) else stage_text(plan.begins)
    first = f"{begins} {days_off_text(plan.offset_d)}".strip()
    on = f" on {plan.weekday.title()}" if plan.weekday else ""
    whom = ", ".join(plan.cohorts) or "all cohorts"
    return f"{plan.id}, every {plan.every_d} d{on} from {first} to the last pass, of {whom}"


def hours_each_text(chore: Chore) -> str:
    """ "~0.5 h a cohort", "0.85 h per 100 plants", "6 h once" for the season; "" where it takes none."""
    each = f"per {chore.per}" if chore.per.startswith("100") else f"a {chore.per}"
    if chore.together not in ("", "place") and chore.per == "place":
        each = "once" if chore.together == "season" else "a task"
    hours = task_hours_text(chore.hours, chore.guessed)
    return f"{hours} {each}" if hours else ""


def whom_text(chore: Chore) -> str:
    """For which cohorts: "only seed; under lamps", or "every cohort"; and whether they have one task together."""
    only = [
        ", ".join(getattr(chore, key))
        for key in ("starts", "seed_kinds", "responses", "place_kinds")
        if set(getattr(chore, key)) != set(KEYS[key].default)
    ]
    if chore.lamps is not None:
        only.append("under lamps of their own" if chore.lamps else "without lamps of their own")
    if chore.nursery is not None:
        only.append("raised in a nursery" if chore.nursery else "sown in place")
    whom = f"only {'; '.join(only)}" if only else "every cohort"
    if chore.at == "nursery":
        whom += "; in its nursery"
    if chore.together:
        whom += f"; one task {_ONE_TASK[chore.together]}" + (
            f", with its {chore.once} cohort" if chore.once else ""
        )
    return whom


# The columns of a list of chores, at their widest in a narrow list and in a wide one.
_NARROW, _WIDE = (18, 6, 12, 9, 17, 9), (24, 6, 22, 16, 17, 9)
_WIDE_FROM, _LEAST_WHAT = 110, 20


def chore_columns(
    chores: Sequence[Chore], made: Mapping[str, int], width: int, cut: str = CUT
) -> dict[str, str]:
    """A line a chore, by its id: days from its stage, repeat, who, hours and tasks, and what it is where there is room."""
    cells = {
        c.id: (
            c.id,
            days_off_text(c.offset_d),
            repeat_text(c),
            c.who,
            hours_each_text(c).replace(" per ", "/").replace(" a ", "/"),
            made_text(c, made),
        )
        for c in chores
    }
    widest = _WIDE if width >= _WIDE_FROM else _NARROW
    columns = [min(most, max(cell_len(row[n]) for row in cells.values())) for n, most in enumerate(widest)]
    room = width - sum(columns) - len(columns) - 1
    lines = {}
    for chore in chores:
        parts = [
            filled(cut_text(cell, size, cut), size)
            for cell, size in zip(cells[chore.id], columns, strict=True)
        ]
        lines[chore.id] = " ".join(parts) + (
            f"  {cut_text(chore.what, room, cut)}" if room > _LEAST_WHAT else ""
        )
    return lines


def made_text(chore: Chore, made: Mapping[str, int]) -> str:
    """ "12 tasks", "off"."""
    return count_text(made.get(chore.id, 0), "task") if chore.active else "off"


def chores_text(season: Season, made: Mapping[str, int]) -> Iterator[str]:
    """The chores by stage: when, who, hours, for whom, and how many tasks each makes."""
    if not season.chores:
        yield "This season has no chore yet."
    for stage, chores in by_stage(season):
        yield stage_text(stage)
        for chore in chores:
            yield from _chore_lines(season, chore, made)
        yield ""
    yield from wrapped(f"{GUESSES} One in full: calendar-tui chores ID", "")


def _chore_lines(season: Season, chore: Chore, made: Mapping[str, int]) -> Iterator[str]:
    parts = (
        made_text(chore, made),
        days_text_of(season, chore),
        chore.who,
        hours_each_text(chore),
        whom_text(chore),
    )
    yield from wrapped(chore.what, "    ", first=f"  {chore.id}  ")
    yield from wrapped("; ".join(part for part in parts if part), "      ")


def chore_text(
    season: Season, chore: Chore, fields: Sequence[ChoreField], made: Mapping[str, int]
) -> Iterator[str]:
    """One chore in full: every field, its caution and its marks, and how it is changed."""
    yield from _chore_lines(season, chore, made)
    if chore.caution:
        yield from wrapped(chore.caution, "    ", first="  ! ")
    for line in field_lines(fields):
        yield f"  {line}"
    yield ""
    yield from wrapped(GUESSES, "")
    yield f"To change it: calendar-tui chores {chore.id} FIELD VALUE"
    yield from wrapped(f"With dates and hours, --mark says where they come from: {', '.join(MARKS)}.", "  ")


def field_lines(fields: Sequence[ChoreField], width: int = 76, cut: str = CUT) -> list[str]:
    """A line a field: key, value, unit, and whose it is; a value that is too long is cut."""
    keys, units = max(len(_name(f)) for f in fields), max(len(f.unit) for f in fields)
    whose = max(len(_whose(f)) for f in fields)
    room = width - keys - units - whose - 3
    values = [cut_text(shown_text(f.unit, f.value) or "-", room, cut) for f in fields]
    longest = max(map(cell_len, values))
    return [
        f"{_name(f):<{keys}} {filled(value, longest)} {f.unit:<{units}} {_whose(f)}"
        for f, value in zip(fields, values, strict=True)
    ]


def _name(field: ChoreField) -> str:
    return field_words("chore", field.key)


def _whose(field: ChoreField) -> str:
    return ("set" if field.own else "default") + (", a guess" if field.guess else "")


def field_text(field: ChoreField) -> str:
    """One field in a sentence: value and unit, what it means, and whose it is."""
    value = shown_text(field.unit, field.value) or "none"
    unit = f" {field.unit}" if field.unit and field.value is not None else ""
    return f"{value}{unit}; {field.meaning}; {_whose(field)}"


def one_field_text(field: ChoreField) -> Iterator[str]:
    """One field in full, and how it is changed."""
    yield from wrapped(field_text(field), "  ", first=f"{field.chore} {_name(field)}  ")
    value = typed_text(field.value) or "VALUE"
    spaced = f'"{value}"' if " " in value else value
    yield from wrapped(f"To change it: calendar-tui chores {field.chore} {_name(field)} {spaced}", "  ")
    if right := right_value(field.key):
        yield from wrapped(f"A value: {right}.", "  ")
