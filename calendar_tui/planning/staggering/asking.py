"""A wish as people type it: words into figures, and the same asked step by step."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from calendar_tui.planning.staggering.wish import Wish, spacing_of
from calendar_tui.season.finders import find_light, find_place, find_variety
from calendar_tui.season.records import Season
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.typed_dates import typed_in_season

_UNITS = {"": 1, "d": 1, "w": 7}
NO_NURSERY = "none"


def whole(word: str, what: str) -> int:
    """A whole number. Raises Refusal; what: stands before the word in the sentence that refuses it."""
    if not (word.isascii() and word.isdigit() and len(word) < 9):
        raise Refusal(f'{what} "{word}" is no whole number; write it as 12')
    return int(word)


def every_d(word: str, what: str = "") -> int:
    """Days of "14d", "2w" or "14". Raises Refusal."""
    parts = re.fullmatch(r"(\d{1,3})([dw]?)", word.strip(), re.ASCII)
    if parts is None:
        raise Refusal(f'{what} "{word}" is no time between harvests; write 14d or 2w'.strip())
    return int(parts[1]) * _UNITS[parts[2]]


def spacing(word: str, what: str = "") -> tuple[float, float]:
    """m between rows and m in the row of "1.5x0.6". Raises Refusal."""
    parts = re.fullmatch(r"(\d{1,3}(?:\.\d+)?)x(\d{1,3}(?:\.\d+)?)", word.strip(), re.ASCII)
    if parts is None or not (0.01 <= float(parts[1]) <= 100 and 0.01 <= float(parts[2]) <= 100):
        raise Refusal(
            f'{what} "{word}" is no spacing; write m between rows and m in the row as 1.5x0.6'.strip()
        )
    return float(parts[1]), float(parts[2])


@dataclass(frozen=True, slots=True)
class WishSetting:
    """The season and the day on which a wish is typed, and the order of day and month in dates of numbers."""

    season: Season
    today: date
    date_order: str = ""


@dataclass(frozen=True, slots=True)
class WishStep:
    """One question. choices: answers to choose from, none where it is typed; first: what stands there at first.

    read: the value of an answer; raises ValueError with what would be right.
    """

    key: str
    question: str
    read: Callable[[WishSetting, str], Any]
    choices: Callable[[Season], Sequence[str]] = lambda season: ()
    first: Callable[[Season], str] = lambda season: ""


def _places(setting: WishSetting, text: str) -> tuple[str, ...]:
    names = [name.strip() for name in text.split(",") if name.strip()]
    if not names:
        raise Refusal("name the places that may be used, with commas between")
    return tuple(find_light(setting.season, name) for name in names)


def _nursery(setting: WishSetting, text: str) -> str | None:
    return None if text in ("", NO_NURSERY) else find_place(setting.season, text).id


def _start(setting: WishSetting, text: str) -> str:
    if text not in ("seed", "cutting"):
        raise Refusal(f'"{text}" is no way to start; write seed or cutting')
    return text


def _count(what: str) -> Callable[[WishSetting, str], int | None]:
    return lambda setting, text: whole(text, what) if text else None


def _date(setting: WishSetting, text: str) -> date | None:
    if not text:
        return None
    return typed_in_season(
        text, setting.season, today=setting.today, planned=None, past=False, order=setting.date_order
    )


def _until(setting: WishSetting, text: str) -> date | int | None:
    """A last harvest, or days between harvests."""
    return every_d(text) if re.fullmatch(r"\d{1,3}[dw]", text, re.ASCII) else _date(setting, text)


def _growing(season: Season) -> tuple[str, ...]:
    return tuple(place.id for place in season.places.values() if place.kind != "nursery")


def _nurseries(season: Season) -> tuple[str, ...]:
    return (*(p.id for p in season.places.values() if p.kind == "nursery"), NO_NURSERY)


STEPS = (
    WishStep(
        "variety",
        "Which variety?",
        lambda a, text: find_variety(a.season, text).id,
        lambda s: tuple(s.varieties),
    ),
    WishStep(
        "lights",
        "Which places, commas between? A screened one stands for all its parts.",
        _places,
        first=lambda season: ", ".join(_growing(season)),
    ),
    WishStep("start", "From seed, or from cuttings?", _start, lambda season: ("seed", "cutting")),
    WishStep("nursery", "Raised in which nursery? none: sown or stuck in place.", _nursery, _nurseries),
    WishStep("plants", "How many plants a cohort? Empty: each takes its place as a whole.", _count("plants")),
    WishStep("count", "How many cohorts? Empty: as many as fit.", _count("cohorts")),
    WishStep("first", "First harvest on which date? Empty: as early as can be.", _date),
    WishStep("until", "Last harvest on which date, or how far apart (14d, 2w)? Empty: open.", _until),
)


def wish_of(setting: WishSetting, answers: Mapping[str, str]) -> Wish:
    """The wish of the answers to all steps. Raises ValueError where one does not read."""
    values = {step.key: step.read(setting, answers[step.key].strip()) for step in STEPS}
    until = values.pop("until")
    return Wish(
        **values,
        spacing_m=spacing_of(setting.season, values["variety"]),
        every_d=until if isinstance(until, int) else None,
        last=until if isinstance(until, date) else None,
    )
