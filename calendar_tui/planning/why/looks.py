"""Which look at the plants, or which record, would narrow a range most, by the futures themselves.

A look at a stage on a date parts the futures: those in which the plants have got there by then, and those in which they have
not. What is left of a range after it is expected to be the width in either part, each by the share of futures in it. A
record of a stage leaves, for each date it may have, the futures in which the stage comes within two days of it.
What is expected is not certain: one answer may narrow a range less than the other.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import date, timedelta
from typing import NamedTuple

from calendar_tui.nature.futures import tenths
from calendar_tui.season.stages import BY_NAME

EVERY = timedelta(days=7)
# Plants are looked at two or three times a week (practice): a recorded date is the true one within this.
RECORD_WITHIN_D = 2
# Of looks that narrow it nearly as much as the best one, by this share of the width, the soonest is worth most.
NEARLY = 0.03
# What narrows a range by less than this share of it is not worth naming.
LEAST_GAIN = 0.1


class Step(NamedTuple):
    """A look at a stage on a date, or, without a date, its record; left: the share of the range's width that is expected after it."""

    stage: str
    day: date | None
    left: float


def best_look(
    days: Mapping[str, Sequence[float]], target: str, stages: Iterable[str], today: date
) -> Step | None:
    """The look, on today or so many weeks from it, that narrows the range of a stage most, or nearly and sooner.

    None where none does by a tenth.

    days: of each stage, its day in each future (date.toordinal); stages: those that are not recorded, and that the stage
    rests on, or itself.
    """
    looks = [*_looks(days, target, (s for s in stages if BY_NAME[s].look), today)]
    best = _best(looks)
    as_good = (look for look in looks if best is not None and look.left <= best.left + NEARLY)
    return min((look for look in as_good if look.left <= 1 - LEAST_GAIN), key=_soonest, default=None)


def _soonest(look: Step) -> tuple[date, float]:
    return look.day or date.max, look.left


def best_record(days: Mapping[str, Sequence[float]], target: str, stages: Iterable[str]) -> Step | None:
    """The same of a record of an earlier stage."""
    return _best(
        _records(days, target, (s for s in stages if s != target and (BY_NAME[s].look or BY_NAME[s].decided)))
    )


def _best(steps: Iterable[Step]) -> Step | None:
    best = min(steps, key=lambda step: step.left, default=None)
    return best if best is not None and best.left <= 1 - LEAST_GAIN else None


def _looks(
    days: Mapping[str, Sequence[float]], target: str, stages: Iterable[str], today: date
) -> Iterator[Step]:
    whole = _width(days[target])
    for stage in stages if whole else ():
        pairs, day = list(zip(days[stage], days[target], strict=True)), today
        while day.toordinal() < max(days[stage]):
            there = [wanted for seen, wanted in pairs if seen <= day.toordinal()]
            not_yet = [wanted for seen, wanted in pairs if seen > day.toordinal()]
            yield Step(stage, day, _expected((there, not_yet)) / whole)
            day += EVERY


def _records(days: Mapping[str, Sequence[float]], target: str, stages: Iterable[str]) -> Iterator[Step]:
    whole = _width(days[target])
    for stage in stages if whole else ():
        pairs = list(zip(days[stage], days[target], strict=True))
        left = sum(
            share * _width([wanted for seen, wanted in pairs if abs(seen - day) <= RECORD_WITHIN_D])
            for day, share in Counter(days[stage]).items()
        )
        yield Step(stage, None, left / len(pairs) / whole)


def _expected(parts: Iterable[Sequence[float]]) -> float:
    """The width that is expected after an answer, each part by the share of futures in it."""
    there = [part for part in parts if part]
    return sum(len(part) * _width(part) for part in there) / sum(map(len, there))


def _width(days: Sequence[float]) -> float:
    early, late = tenths(days)
    return late - early
