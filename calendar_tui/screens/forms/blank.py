"""A form to fill in: its fields, how each is read, and what all of them together would change."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import NamedTuple

from calendar_tui.planning.changes.held_season import HeldSeason
from calendar_tui.planning.changes.proposal import Proposal
from calendar_tui.season.field_errors import FieldErrors

# What was typed, by the field's name.
Typed = Mapping[str, str]


class FormField(NamedTuple):
    """One line of a form. words: its name. value: what is proposed, or stands in the season.
    names: what a value is completed to. above: the heading over it and those that follow, "" for none.
    """

    words: str
    value: str = ""
    unit: str = ""
    meaning: str = ""
    names: tuple[str, ...] = ()
    above: str = ""


class Blank(NamedTuple):
    """What a form asks for.

    fields: of the season as it is and what is typed so far, since one value may follow from another.
    read: a typed value as it is understood, "Sat 12 Dec 2026" of 12 dec; "" where that is as typed. Raises ValueError.
    propose: what all that is typed would change. Raises ValueError, FieldErrors where it is about fields.
    whole: whether what stands in the form unchanged is something to save. caution: of the work that is recorded, shown below.
    """

    title: str
    about: str
    fields: Callable[[HeldSeason, Typed], Sequence[FormField]]
    read: Callable[[HeldSeason, str, str], str]
    propose: Callable[[HeldSeason, Typed], Proposal]
    whole: bool = False
    caution: str = ""


class Filled(NamedTuple):
    """What comes of a form as it is filled in.

    notes: typed values as they are understood; errors: what is wrong; both by field, "" for the form as a whole.
    """

    typed: Typed
    notes: Mapping[str, str]
    errors: Mapping[str, str]
    proposal: Proposal | None = None


def filled(blank: Blank, held: HeldSeason, typed: Typed) -> Filled:
    """Read every typed value and, where all can be read, what they would change."""
    notes: dict[str, str] = {}
    errors: dict[str, str] = {}
    for words, text in typed.items():
        try:
            notes[words] = blank.read(held, words, text)
        except ValueError as wrong:
            errors[words] = str(wrong)
    if errors or not (typed or blank.whole):
        return Filled(typed, notes, errors)
    try:
        return Filled(typed, notes, {}, blank.propose(held, typed))
    except FieldErrors as wrong:
        return Filled(typed, notes, wrong.by_field())
    except ValueError as wrong:
        return Filled(typed, notes, {"": str(wrong)})
