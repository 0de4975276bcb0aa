"""A clash: two things that cannot both hold."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field
from datetime import date
from functools import cached_property
from typing import NamedTuple


class Excess(NamedTuple):
    """What is over-full, such as "crew: grower" or "dryer"; on which day or in the week of which Monday, and how much.

    amount, has: in unit; has: 0 where there is nothing.
    """

    what: str
    day: date
    amount: float
    has: float
    unit: str


class Recorded(NamedTuple):
    """The record of which a clash is, by its kind and id, and the day from which it is past mending."""

    kind: str
    id: str
    day: date


@dataclass(frozen=True, eq=False)
class Clash:
    """kind: what it is about; cohorts: those it touches, its own first; wording: its text, or what makes it when asked.

    Kind and cohorts tell one clash from another. shown_with: further cohorts it touches, which do not. place: the light
    it belongs to, where it is no one cohort's; excess: of what is over-full; stage: that is to be recorded. recorded: of what was done
    and should not have been.
    """

    kind: str
    cohorts: tuple[str, ...]
    wording: str | Callable[[], str] = field(repr=False)
    shown_with: tuple[str, ...] = ()
    place: str = ""
    excess: Excess | None = None
    stage: str = ""
    recorded: Recorded | None = None

    @property
    def own(self) -> str:
        """The cohort it belongs to; "" where it is a place's or the farm's."""
        return self.cohorts[0] if self.cohorts and not self.place else ""

    @cached_property
    def text(self) -> str:
        """A sentence with figures and ways out."""
        return self.wording if isinstance(self.wording, str) else self.wording()

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Clash) and self._shown == other._shown

    def __hash__(self) -> int:
        return hash((self.kind, self.cohorts))

    @property
    def _shown(self) -> tuple[object, ...]:
        return self.kind, self.cohorts, self.text, self.shown_with


def new_clashes(before: Iterable[Clash], after: Iterable[Clash]) -> Iterator[Clash]:
    """Those that were not there before; one whose figures alone are others was."""
    known = {(c.kind, c.cohorts) for c in before}
    return (c for c in after if (c.kind, c.cohorts) not in known)
