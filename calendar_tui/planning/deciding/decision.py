"""One thing to decide, to do or to leave alone, and the last day on which it is in time."""

from __future__ import annotations

from datetime import date, timedelta
from typing import NamedTuple

OVER, CLOSED, RELIGHT, LOOK, CUT, OFFICIAL, BAGS, RESULT, SPRAY, BATCH, STAGE, RECORD = KINDS = (
    "over",
    "closed",
    "relight",
    "look",
    "cut",
    "official",
    "bags",
    "result",
    "spray record",
    "batch",
    "stage",
    "record",
)
# What is planned is listed from so many days before; a starting value, no source.
AHEAD_D = 7


class Decision(NamedTuple):
    """A row of what is to be decided.

    kind: one of KINDS. about: the cohort, lot, place or batch. what: in words, without the day. where: the place.
    by: the last day on which it is in time; None where none is set. why: of that day. stage: that is to be decided or
    recorded; "" for none. cohorts: all that it is for. record: the id of the record in which it is decided, "" where there is none.
    rules: the citation of the rule profile that sets the day, "" where none does.
    """

    kind: str
    about: str
    what: str
    where: str
    by: date | None
    why: str = ""
    stage: str = ""
    cohorts: tuple[str, ...] = ()
    record: str = ""
    rules: str = ""

    def past_since(self, today: date) -> date | None:
        """The first day on which it is too late; None where it still is in time."""
        return self.by + timedelta(days=1) if self.by is not None and self.by < today else None

    @property
    def order(self) -> tuple[object, ...]:
        """What is over a limit, then by the day on which it is too late, and what has none last."""
        return (
            self.kind != OVER,
            self.by is None,
            self.by or date.max,
            KINDS.index(self.kind),
            self.about,
            self.what,
        )


def is_soon(day: date, today: date, ahead_d: int = AHEAD_D) -> bool:
    """Whether a day is past, or comes within so many days."""
    return (day - today).days <= ahead_d
