"""What is asked about records before a change of them is saved, whichever way it is made: a command of its own, set, remove, a form."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from datetime import date
from decimal import Decimal

from calendar_tui.nature.measured import without_noughts
from calendar_tui.planning.changes.held_season import HeldSeason, Ident
from calendar_tui.season.records import Season


def record_questions(held: HeldSeason, after: Season, kind: str, idents: Sequence[Ident]) -> tuple[str, ...]:
    """Each a sentence, once. after: the season with the change; idents: of the records before and after, where they are renamed."""
    asks = _ASKS.get(kind)
    names = tuple(dict.fromkeys(str(ident[0]) for ident in idents if ident))
    return () if asks is None else tuple(dict.fromkeys(asks(held.plan.season, after, names, held.plan.today)))


_Asks = Callable[[Season, Season, Sequence[str], date], Iterator[str]]


# What each looks at is loaded only for a change of its kind.


def _sprays(before: Season, after: Season, names: Sequence[str], today: date) -> Iterator[str]:
    from calendar_tui.planning.changes.spray_questions import spray_questions

    return spray_questions(before, after, names, today)


def _officials(before: Season, after: Season, names: Sequence[str], today: date) -> Iterator[str]:
    from calendar_tui.planning.changes.report_doubts import official_questions

    return official_questions(before, after, names, today)


def _crop(before: Season, after: Season, names: Sequence[str], today: date) -> Iterator[str]:
    from calendar_tui.planning.changes.crop_questions import crop_questions

    return crop_questions(before, after, names)


def _lots(before: Season, after: Season, names: Sequence[str], today: date) -> Iterator[str]:
    from calendar_tui.planning.changes.lot_questions import lot_questions

    return lot_questions(before, after, names)


# The highest limit, %, of the laws of hemp that were read of (second-hand: South Africa); one over it is mostly a slip of the point.
MOST_LIMIT = Decimal(2)


def _profiles(before: Season, after: Season, names: Sequence[str], today: date) -> Iterator[str]:
    for name in names:
        old, new = before.profiles.get(name), after.profiles.get(name)
        limit = None if new is None else new.limit
        if (
            new is not None
            and limit is not None
            and limit > MOST_LIMIT
            and (old is None or old.limit != limit)
        ):
            yield (
                f"{name}: a limit of {without_noughts(limit)} % {new.analyte} is over {MOST_LIMIT} %, the highest that a law of hemp is "
                "known to have here; look at the point, and ask your authority"
            )


_ASKS: Mapping[str, _Asks] = {
    "spray": _sprays,
    "official": _officials,
    "profile": _profiles,
    "lot": _lots,
    "pass": _crop,
    "batch": _crop,
    "reading": _crop,
}
