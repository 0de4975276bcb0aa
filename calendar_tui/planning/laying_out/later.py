"""A cohort's timeline by its likely run, whose futures are laid out once something of them is asked for."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, fields, replace
from datetime import date
from functools import cache, cached_property
from threading import RLock
from typing import TYPE_CHECKING

from calendar_tui.nature.futures import COUNT
from calendar_tui.planning.laying_out.early import early_stages
from calendar_tui.planning.laying_out.figures import Futures
from calendar_tui.planning.laying_out.light import Light
from calendar_tui.planning.laying_out.looks import open_looks
from calendar_tui.planning.laying_out.stages import Days, StageDate, Stages
from calendar_tui.planning.laying_out.timeline import Timeline, lay_out
from calendar_tui.season.records import Cohort, Season

if TYPE_CHECKING:
    from calendar_tui.planning.laying_out.warmth import Warmth

# What of a stage is by its futures.
SPREAD = ("earliest", "latest", "days")
_KNOWN = tuple(name for f in fields(StageDate) if (name := f.name) not in SPREAD)


class LaterDate(StageDate):
    """A stage of which the likely date is known, and the rest once it is asked for."""

    __slots__ = ("_whole",)
    _whole: Callable[[], Mapping[str, StageDate]]

    def __init__(self, known: StageDate, whole: Callable[[], Mapping[str, StageDate]]) -> None:
        """known: its likely date, status and reason; whole: gives all stages of the cohort, in all futures."""
        for name in _KNOWN:
            object.__setattr__(self, name, getattr(known, name))
        object.__setattr__(self, "_whole", whole)

    @property
    def whole(self) -> StageDate:
        """The stage in all futures."""
        return self._whole()[self.stage]

    @property
    def earliest(self) -> date:
        return self.whole.earliest

    @property
    def latest(self) -> date:
        return self.whole.latest

    @property
    def days(self) -> Days:
        return self.whole.days

    def __eq__(self, other: object) -> bool:
        return self.whole == (other.whole if isinstance(other, LaterDate) else other)

    def __hash__(self) -> int:
        return hash(self.whole)


@dataclass(frozen=True, slots=True)
class LaterReady:
    """From when a day can count: in the likely run, and in each future once that is asked for."""

    likely: date
    whole: Callable[[], Timeline]

    @property
    def days(self) -> Days:
        ready = self.whole().ready
        return () if ready is None else ready.days


def lay_out_later(
    season: Season, cohort: Cohort, early: Stages, light: Light, warmth: Warmth | None = None
) -> Timeline:
    """The timeline of `lay_out`, of which ranges and days in each future are worked out when they are asked for.

    early: its early stages, in no future. Looks at its plants choose among futures and move its likely run, so with such it
    is laid out whole.
    """

    @cache
    def whole() -> Timeline:
        return lay_out(season, cohort, early_stages(season, cohort, warmth), light, warmth)

    if open_looks(cohort):
        return whole()
    likely = lay_out(season, cohort, early, light, warmth)

    def stages() -> Mapping[str, StageDate]:
        return whole().stages

    ready = likely.ready and LaterReady(likely.ready.likely, whole)
    futures = Futures(likely.variety, cohort.start, COUNT, tuple(range(COUNT)))
    later = {name: LaterDate(stage, stages) for name, stage in likely.stages.items()}
    return replace(likely, stages=later, ready=ready, futures=futures)


class LaterTimelines(Mapping[str, Timeline]):
    """Timelines of which the cohorts are known, and each is made of what is known of it once it is asked for."""

    def __init__(
        self, known: Mapping[str, Timeline], making: Callable[[], Callable[[Timeline], Timeline]]
    ) -> None:
        """making: gives what makes them, once the first is asked for."""
        self._known, self._making = known, making
        self._lock = RLock()  # threads that ask for the same one wait for it
        self._made: dict[str, Timeline] = {}

    @cached_property
    def _make(self) -> Callable[[Timeline], Timeline]:
        return self._making()

    def __getitem__(self, cohort: str) -> Timeline:
        with self._lock:
            if cohort not in self._made:
                self._made[cohort] = self._make(self._known[cohort])
            return self._made[cohort]

    def __contains__(self, cohort: object) -> bool:
        return cohort in self._known

    def __iter__(self) -> Iterator[str]:
        return iter(self._known)

    def __len__(self) -> int:
        return len(self._known)
