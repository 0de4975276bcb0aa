"""How dates, hours and spans are worded, the same on every screen and in every table."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from datetime import date, datetime
from math import ceil, floor

from calendar_tui.language.speaking import (
    date_text,
    decimal_text,
    is_english,
    phrase,
    phrase_n,
    tr,
    translated,
)
from calendar_tui.nature.rounding import whole
from calendar_tui.season.records import Season, Span
from calendar_tui.season.units_in_use import clock

MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
WEEKDAY_NAMES = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
WEEKDAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")

# Of more cohorts than this, the first are named and the rest counted.
# So many names are listed in a sentence; more would hide what it is about.
MOST_LISTED = 12
MOST_COHORTS = 4


def day_text(day: date) -> str:
    """ "31 Jul"."""
    month = MONTHS[day.month - 1]
    return f"{day.day} {month}" if is_english() else date_text("", day.day, month, "")


def year_day_text(day: date) -> str:
    """ "31 Jul 2026"."""
    if is_english():
        return f"{day_text(day)} {day.year}"
    return date_text("", day.day, MONTHS[day.month - 1], day.year)


def hour_of(moment: datetime) -> str:
    """ "05:15"; "02:00 the second time" of an hour that the clock has twice and of which the second is meant."""
    at = clock(moment)
    return tr("{time} the second time", time=at) if moment.fold else at


def days_in_words(text: str) -> str:
    """A sentence about the file in the words of one who types: "5 Oct 2026" for 2026-10-05."""
    return re.sub(r"\b\d{4}-\d\d-\d\d\b", lambda iso: year_day_text(date.fromisoformat(iso[0])), text)


def weekday_text(day: date) -> str:
    """ "Fri 31 Jul"."""
    if is_english():
        return f"{WEEKDAYS[day.weekday()]} {day_text(day)}"
    return date_text(WEEKDAYS[day.weekday()], day.day, MONTHS[day.month - 1], "")


def moment_text(moment: datetime) -> str:
    """ "Fri 31 Jul 05:15"."""
    return f"{weekday_text(moment.date())} {hour_of(moment)}"


def day_or_moment_text(moment: datetime) -> str:
    """ "Fri 31 Jul 05:15", a midnight as the day alone."""
    return moment_text(moment) if moment.hour or moment.minute else weekday_text(moment.date())


def full_day_text(day: date) -> str:
    """ "Fri 31 Jul 2026"."""
    if is_english():
        return f"{weekday_text(day)} {day.year}"
    return date_text(WEEKDAYS[day.weekday()], day.day, MONTHS[day.month - 1], day.year)


def dates_in_turn(*days: date) -> tuple[str, ...]:
    """ "30 Oct", "8 Nov"; what is of another year than the date before it with that: "24 Dec", "2 Jan 2027"."""
    before = (days[:1] + days)[: len(days)]
    return tuple(
        day_text(day) if day.year == last.year else year_day_text(day)
        for last, day in zip(before, days, strict=True)
    )


def day_move_text(old: date, new: date) -> str:
    """ "30 Oct -> 8 Nov", "24 Dec -> 2 Jan 2027"."""
    return " -> ".join(dates_in_turn(old, new))


def span_of_days_text(days: Iterable[date]) -> str:
    """ "Wed 9 Dec 2026", or "dates from Wed 9 Dec 2026 to Fri 11 Dec 2026"."""
    in_order = sorted(set(days))
    first, last = full_day_text(in_order[0]), full_day_text(in_order[-1])
    return first if first == last else phrase("dates from {first} to {last}", first=first, last=last)


def first_to_last_text(first: date, last: date) -> str:
    """ "9 Dec 2026", or "9 Dec 2026 to 11 Dec 2026"."""
    return year_day_text(first) if first == last else f"{year_day_text(first)} to {year_day_text(last)}"


def season_days_text(season: Season) -> str:
    """ "15 Sep 2026 to 15 May 2027"."""
    return first_to_last_text(season.first_day, season.last_day)


def hours_text(hours: float) -> str:
    """ "13 h 58", to the nearest minute."""
    minutes = round(hours * 60)
    return f"{minutes // 60} h {minutes % 60:02d}"


def clock_text(hours: float) -> str:
    """ "13:58", to the nearest minute, as a season file has it."""
    minutes = round(hours * 60)
    return f"{minutes // 60}:{minutes % 60:02d}"


def hours_against(hours: float, *limits: float) -> str:
    """ "13 h 58"; with seconds, "14 h 14 min 52 s", where whole minutes would show a limit that it is under or over.

    Seconds are rounded away from the limit. hours: a day length; limits: those it is held against in the sentence, h.
    """
    shown = hours_text(hours)
    hidden = [limit for limit in limits if limit != hours and hours_text(limit) == shown]
    if not hidden:
        return shown
    seconds = floor(hours * 3600) if hours < hidden[0] else ceil(hours * 3600)
    minutes, second = divmod(seconds, 60)
    return f"{minutes // 60} h {minutes % 60:02d} min {second:02d} s"


def count_text(count: float, needed: float) -> str:
    """ "7.9 of 8": the count of those that are needed, to the tenth below, so that full is only what is full."""
    so_far = f"{floor(count * 10 + 1e-6) / 10:.1f}"
    return phrase("{so_far} of {needed}", so_far=so_far, needed=f"{needed:g}")


def span_text(span: Span) -> str:
    """ "45 d (38-54)"."""
    early, likely, late = (whole(n) for n in span)
    return f"{likely} d" if early == late else f"{likely} d ({early}-{late})"


def days_text(days: int) -> str:
    return f"{days} day" if days == -1 else phrase_n("{count} day", "{count} days", days)


def night_count_text(nights: int) -> str:
    return phrase_n("{count} night", "{count} nights", nights)


def bag_count_text(bags: int) -> str:
    return phrase_n("{count} bag", "{count} bags", bags)


def plant_count_text(plants: int) -> str:
    return phrase_n("{count} plant", "{count} plants", plants)


def delay_text(days: int) -> str:
    """ "9 d late", "2 d early", "on the day"."""
    if days == 0:
        return phrase("on the day")
    return phrase("{days} d late", days=days) if days > 0 else phrase("{days} d early", days=-days)


def number_text(number: float) -> str:
    """ "636", "31.5": whole or to a tenth, every digit before the point written out, in any unit."""
    rounded = round(number, 1)
    return f"{rounded:.0f}" if rounded == int(rounded) else decimal_text(f"{rounded:.1f}")


def start_text(start: str) -> str:
    """What a cohort is started from: "seed" or "cuttings"."""
    return tr("cuttings") if start == "cutting" else tr(start)


def stage_text(stage: str) -> str:
    """ "lights off" for lights_off."""
    return tr(stage.replace("_", " "))


def some_text(names: Sequence[str], between: str = ", ") -> str:
    """ "A1, B2, C3", or "A1, B2, C3 and 9 more" where there are very many."""
    more = len(names) - MOST_LISTED
    listed = between.join(names[:MOST_LISTED])
    return tr("{listed} and {more} more", listed=listed, more=more) if more > 0 else listed


def plots_text(numbers: Sequence[str]) -> str:
    """ "plot 203", or "plots 203, 204"."""
    return f"plot{'s' * (len(numbers) > 1)} {some_text(numbers)}"


def unit_text(cohort: str, lot: str = "", block: str = "", plot: str = "") -> str:
    """What a bag is of: "A1", "A1 south, block 2", "A1, plot K1-203"; a lot whose name begins with its cohort's stands alone."""
    whose = lot if lot.startswith(cohort) else f"{cohort} {lot}".strip()
    parts = (
        whose,
        phrase("block {block}", block=block) if block else "",
        phrase("plot {plot}", plot=plot) if plot else "",
    )
    return ", ".join(filter(None, parts))


def position_text(unit: str, position: str) -> str:
    """ "A1 south top": a canopy position and what it is of; the position alone where unit is ""."""
    if not unit:
        return phrase(position)
    return phrase("{lot} {canopy}", lot=unit, canopy=phrase(position))


def cohorts_text(cohorts: Sequence[str]) -> str:
    """ "A1 B2", or "A1 B2 C3 +4" where there are more."""
    more = len(cohorts) - MOST_COHORTS
    return " ".join(cohorts[:MOST_COHORTS]) + (f" +{more}" if more > 0 else "")


def alike_text(texts: Iterable[str], names: Iterable[str]) -> tuple[str, ...]:
    """The texts, each once; those that begin with one of the names and are alike but for it as one.

    names: ids of cohorts. "A1 is late", "B1 is late" give "A1 B1 is late"; "A1: no harm" likewise with its colon.
    """
    known = frozenset(names)
    by_rest: dict[tuple[str, str], list[str]] = {}
    for text in texts:
        word, _, rest = text.partition(" ")
        name = word.removesuffix(":")
        key = ("", f"{word[len(name) :]} {rest}") if name in known else (word, f" {rest}")
        by_rest.setdefault(key, []).append(name)
    return tuple(
        f"{first or cohorts_text(tuple(dict.fromkeys(of)))}{rest}".strip()
        for (first, rest), of in by_rest.items()
    )


def amount_text(amount: str) -> str:
    """The quantities that a task has saved, such as "120 plants, 2 trays"."""
    return ", ".join(translated(one) for one in amount.split(", "))


def task_hours_text(hours: float, guessed: bool) -> str:
    """ "0.5 h", "~0.5 h" where it is a guess, "" for none."""
    return f"{'~' if guessed else ''}{decimal_text(f'{hours:g}')} h" if hours else ""
