"""A wish as people type it: words into figures, and the fields of a form for it."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from calendar_tui.planning.clash_words import FEW_GROWTH_D
from calendar_tui.planning.plan import Plan
from calendar_tui.planning.staggering.wish import (
    GROWN_D,
    MOST_EVERY_D,
    MOST_GROWN_D,
    Wish,
    checked,
    spacing_of,
)
from calendar_tui.season.field_names import find_field
from calendar_tui.season.finders import find_place, find_variety
from calendar_tui.season.measures import typed_quantities
from calendar_tui.season.records import Season
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.stages import CUTTING, SEED
from calendar_tui.season.typed_dates import read_day_text, typed_in_season
from calendar_tui.season.typed_values import NotRight, converted_text, shown_text, typed_days, typed_text
from calendar_tui.season.wording import year_day_text
from calendar_tui.season.yes_no import NO, YES, is_yes

NO_NURSERY = "none"
STARTS = (SEED, CUTTING)
# Typed and shown as that of a cohort.
SPACING = find_field("cohort", "spacing")
# Days from one harvest to the next that are proposed: common practice, no source.
NEXT_D = 14


def whole(word: str, what: str) -> int:
    """A whole number. Raises Refusal; what: stands before the word in the sentence that refuses it."""
    if not (word.isascii() and word.isdigit() and len(word) < 9):
        raise Refusal(f'{what} "{word}" is no whole number; write it as 12')
    return int(word)


def every_d(word: str, what: str = "") -> int:
    """Days of "14d", "2 weeks" or "14". Raises Refusal."""
    try:
        days = typed_days(word)
    except NotRight as wrong:
        raise Refusal(f'{what} "{word}" is no time between harvests; {wrong}'.strip()) from wrong
    if not 1 <= days <= MOST_EVERY_D:
        raise Refusal(f"{what} {days} days between harvests cannot be; give 1 to {MOST_EVERY_D}".strip())
    return days


def spacing(word: str, what: str = "") -> tuple[float, float]:
    """m between rows and m in the row of "1.5x0.6", or of "5 ft x 2 ft". Raises Refusal."""
    typed = typed_quantities(word, "m")
    metric = word.strip() if typed is None else "x".join(f"{value:g}" for value in typed)
    parts = re.fullmatch(r"(\d{1,3}(?:\.\d+)?) *x *(\d{1,3}(?:\.\d+)?)", metric, re.ASCII)
    if parts is None or not (0.01 <= float(parts[1]) <= 100 and 0.01 <= float(parts[2]) <= 100):
        raise Refusal(
            f'{what} "{word}" is no spacing; write between rows x in the row, such as 1.5x0.6 m'.strip()
        )
    return float(parts[1]), float(parts[2])


@dataclass(frozen=True, slots=True)
class WishSetting:
    """The season and the day on which a wish is typed, and the order of day and month in dates of numbers."""

    season: Season
    today: date
    date_order: str = ""


@dataclass(frozen=True, slots=True)
class WishField:
    """One field of a wish. words: its name on the screen; meaning: in a sentence, with the form in which it is typed.

    read: the value of an answer; raises ValueError with what would be right. names: answers to choose from, none where it is typed.
    unit: as the season file has it.
    """

    key: str
    words: str
    meaning: str
    read: Callable[[WishSetting, str], Any]
    names: Callable[[Season], Sequence[str]] = lambda season: ()
    unit: str = ""


def _nursery(setting: WishSetting, text: str) -> str | None:
    return None if text.casefold() in ("", NO_NURSERY) else find_place(setting.season, text).id


def _start(setting: WishSetting, text: str) -> str:
    if text.casefold() not in STARTS:
        raise Refusal(f'"{text}" is no way to start; write {" or ".join(STARTS)}')
    return text.casefold()


def _count(what: str) -> Callable[[WishSetting, str], int | None]:
    return lambda setting, text: whole(text, what) if text else None


def _spacing(setting: WishSetting, text: str) -> tuple[float, float] | None:
    return spacing(text, "spacing") if text else None


def _date(setting: WishSetting, text: str) -> date | None:
    if not text:
        return None
    return typed_in_season(
        text, setting.season, today=setting.today, planned=None, past=False, order=setting.date_order
    )


def _until(setting: WishSetting, text: str) -> date | int | None:
    """A last harvest, or days between harvests; None for neither."""
    try:
        typed_days(text)
    except NotRight:
        return _date(setting, text)
    return every_d(text)


def _yes(setting: WishSetting, text: str) -> bool:
    meant = is_yes(text)
    if meant is None:
        raise Refusal(f'"{text}" is neither yes nor no')
    return meant


def _nurseries(season: Season) -> tuple[str, ...]:
    return (*(p.id for p in season.places.values() if p.kind == "nursery"), NO_NURSERY)


FIELDS = (
    WishField(
        "first",
        "harvest on",
        "the date of the harvest, of several the first, such as 5 may; empty: as early as can be",
        _date,
    ),
    WishField("count", "cohorts", "how many; empty: as many as fit", _count("cohorts")),
    WishField(
        "until",
        "harvests apart",
        "of several: days or weeks from one harvest to the next (14d, 2w), or the date of the last",
        _until,
    ),
    WishField(
        "variety",
        "variety",
        "what is grown",
        lambda a, text: find_variety(a.season, text).id,
        lambda s: tuple(s.varieties),
    ),
    WishField("start", "from", "seed or cutting", _start, lambda season: STARTS),
    WishField("nursery", "nursery", "raised there first; none: sown or stuck in place", _nursery, _nurseries),
    WishField("plants", "plants a cohort", "empty: each takes its place as a whole", _count("plants")),
    WishField("spacing_m", "spacing", "between rows x in the row, such as 1.5x0.6 m", _spacing, unit="m"),
    WishField("grown_d", "days of growth", "before induction; empty: 42", _count("days of growth"), unit="d"),
)


def place_fields(season: Season) -> tuple[WishField, ...]:
    """A field for each light in which plants grow: whether it may be used."""
    return tuple(
        WishField(light, light, "yes: it may be used", _yes, lambda season: (YES, NO))
        for place in season.growing_places
        for light in place.lights
    )


def first_answers(plan: Plan, cohort_id: str) -> dict[str, str]:
    """What stands in every field at first: one more cohort like this one, harvested two weeks after it; "" for no cohort."""
    season = plan.season
    cohort, timeline = season.cohorts.get(cohort_id), plan.timelines.get(cohort_id)
    lights = {field.key: YES if cohort is None else NO for field in place_fields(season)}
    if cohort is None or timeline is None:
        variety = next(iter(season.varieties), "")
        nursery, space = _nurseries(season)[0], spacing_of(season, variety)
        answers = {"variety": variety, "start": "seed", "nursery": nursery, "plants": "", "first": ""}
        growth_d: int | None = GROWN_D
    else:
        space, growth_d = cohort.spacing_m, timeline.growth_d
        answers = {
            "variety": cohort.variety,
            "start": cohort.start,
            "nursery": cohort.nursery or NO_NURSERY,
            "plants": "" if cohort.plants is None else str(cohort.plants),
            "first": _next_harvest(season, timeline.likely("harvest")),
        }
        if cohort.light in lights:
            lights[cohort.light] = YES
    grown = growth_d if growth_d is not None and FEW_GROWTH_D <= growth_d <= MOST_GROWN_D else GROWN_D
    return {
        **answers,
        **lights,
        "count": "1",
        "until": f"{NEXT_D}d",
        "spacing_m": typed_text(SPACING, space),
        "grown_d": str(grown),
    }


def _next_harvest(season: Season, harvest: date | None) -> str:
    day = None if harvest is None else harvest + timedelta(days=NEXT_D)
    return "" if day is None or not season.first_day <= day <= season.last_day else year_day_text(day)


def read_answers(setting: WishSetting, answers: Mapping[str, str]) -> tuple[dict[str, Any], dict[str, str]]:
    """The values of answers, by field, and what is wrong with those that do not read."""
    values: dict[str, Any] = {}
    wrong: dict[str, str] = {}
    for field in (*FIELDS, *place_fields(setting.season)):
        try:
            values[field.key] = field.read(setting, answers.get(field.key, "").strip())
        except ValueError as error:
            wrong[field.key] = str(error)
    return values, wrong


def understood(text: str, value: Any) -> str:
    """What an answer is taken for, where that may be another thing than what is typed: its weekday, its metres."""
    if isinstance(value, date):
        return read_day_text(text, value)
    if isinstance(value, tuple):
        return converted_text(SPACING, text, value) or shown_text(SPACING, value)
    return ""


def answered_wish(setting: WishSetting, answers: Mapping[str, str]) -> Wish:
    """The wish of the answers to all fields. Raises ValueError where one does not read, or where they do not fit together."""
    values, wrong = read_answers(setting, answers)
    if wrong:
        raise Refusal(next(iter(wrong.values())))
    lights = tuple(field.key for field in place_fields(setting.season) if values[field.key])
    if not lights:
        raise Refusal("no place may be used; set one of them to yes")
    until, count = values["until"], values["count"]
    one = count == 1
    wish = Wish(
        variety=values["variety"],
        lights=lights,
        start=values["start"],
        nursery=values["nursery"],
        plants=values["plants"],
        spacing_m=values["spacing_m"],
        count=count,
        first=values["first"],
        last=until if isinstance(until, date) and not one else None,
        every_d=until if isinstance(until, int) and not one else None,
        grown_d=values["grown_d"] or GROWN_D,
    )
    return checked(setting.season, wish)
