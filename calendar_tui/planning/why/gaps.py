"""How far apart cohorts of one variety are planted, and how far apart they are harvested: seldom the same."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass
from itertools import pairwise
from operator import attrgetter

from calendar_tui.planning.laying_out.timeline import Timeline
from calendar_tui.season.wording import days_text


@dataclass(frozen=True, slots=True)
class Gap:
    """Two cohorts of a variety, one planted after the other; harvest_d: None where one has no harvest."""

    variety: str
    before: str
    after: str
    planting_d: int
    harvest_d: int | None

    @property
    def text(self) -> str:
        """ "A2 planted 25 days after A1, harvest 12 days after"."""
        planted = f"{_apart(self.planting_d)} {self.before}" if self.planting_d else f"with {self.before}"
        if self.harvest_d is None:
            return f"{self.after} planted {planted}; not both have a harvest"
        harvest = _apart(self.harvest_d) if self.harvest_d else "on the same day"
        return f"{self.after} planted {planted}, harvest {harvest}"


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
            first, second = one.likely("harvest"), other.likely("harvest")
            apart = None if first is None or second is None else (second - first).days
            yield Gap(variety, one.cohort.id, other.cohort.id, (other.planted - one.planted).days, apart)
