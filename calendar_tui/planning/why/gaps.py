"""How far apart cohorts of one variety are planted, and how far apart they are harvested: seldom the same. And how long they grow."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import inf
from operator import attrgetter
from typing import NamedTuple

from calendar_tui.nature.futures import tenths
from calendar_tui.planning.laying_out.timeline import Timeline
from calendar_tui.season.wording import days_text


class Apart(NamedTuple):
    """Days from one date to another, below 0 where the other is before it; least <= likely <= most.

    likely: in the likely run; least, most: the 10th and the 90th percentile over the futures.
    """

    least: int
    likely: int
    most: int

    @property
    def range_text(self) -> str:
        """ "5 to 20 d"; "" where it is certain."""
        return "" if self.least == self.most else f"{self.least} to {self.most} d"


def harvests_apart(before: Timeline, after: Timeline) -> Apart | None:
    """From one harvest to the other; None where a likely run has none.

    Future by future: cohorts of one variety have the same figures in each. Those in which one has no harvest are left out.
    """
    first, second = before.stages.get("harvest"), after.stages.get("harvest")
    if first is None or second is None:
        return None
    pairs = zip(first.days, second.days, strict=True)
    days = [other - one for one, other in pairs if max(one, other) < inf]
    return _ranged((second.likely - first.likely).days, days)


def growth_of(timeline: Timeline) -> Apart | None:
    """Days of growth, as Timeline.growth_d counts them; None where there are none."""
    likely = timeline.growth_d
    return None if likely is None else _ranged(likely, timeline.growth_in_futures)


def _ranged(likely: int, by_future: Sequence[float]) -> Apart:
    if not by_future:
        return Apart(likely, likely, likely)
    least, most = tenths(by_future)
    return Apart(min(int(least), likely), likely, max(int(most), likely))


@dataclass(frozen=True, slots=True)
class Gap:
    """Two cohorts of a variety, one planted after the other; harvest: None where one has no harvest."""

    variety: str
    before: str
    after: str
    planting_d: int
    harvest: Apart | None

    @property
    def text(self) -> str:
        """ "A2 planted 25 days after A1, harvest 12 days after (5 to 20 d)"."""
        planted = f"{_apart(self.planting_d)} {self.before}" if self.planting_d else f"with {self.before}"
        if self.harvest is None:
            return f"{self.after} planted {planted}; not both have a harvest"
        harvest = _apart(self.harvest.likely) if self.harvest.likely else "on the same day"
        spread = f" ({self.harvest.range_text})" if self.harvest.range_text else ""
        return f"{self.after} planted {planted}, harvest {harvest}{spread}"


def _apart(days: int) -> str:
    return f"{days_text(abs(days))} {'before' if days < 0 else 'after'}"


def shown_gaps(timelines: Mapping[str, Timeline], names: Collection[str]) -> list[Gap]:
    """The gaps of which both cohorts are among these."""
    wanted = frozenset(names)
    return [gap for gap in gaps(timelines) if {gap.before, gap.after} <= wanted]


def gaps(timelines: Mapping[str, Timeline]) -> Iterator[Gap]:
    """The gaps between cohorts of each variety in the order of planting; planting is the transplant, else the start."""
    by_variety: dict[str, list[Timeline]] = {}
    for timeline in timelines.values():
        by_variety.setdefault(timeline.variety.id, []).append(timeline)
    for variety, group in by_variety.items():
        for one, other in pairwise(sorted(group, key=attrgetter("planted"))):
            planting_d = (other.planted - one.planted).days
            yield Gap(variety, one.cohort.id, other.cohort.id, planting_d, harvests_apart(one, other))
