"""What is asked about records before a change of them is saved, whichever way it is made: a command of its own, set, remove, a form."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from datetime import date

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


_ASKS: Mapping[str, _Asks] = {
    "spray": _sprays,
    "official": _officials,
    "pass": _crop,
    "batch": _crop,
    "reading": _crop,
}
