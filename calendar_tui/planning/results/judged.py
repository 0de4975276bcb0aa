"""What a new result is held against: the limit, or, where the rules take the measurement uncertainty off, what that leaves room for."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from calendar_tui.language.speaking import phrase
from calendar_tui.nature.legal_limits import RELATIVE, highest_acceptable
from calendar_tui.planning.results.used import Used
from calendar_tui.season.rules import TAKEN_OFF, Profile


class Judged(NamedTuple):
    """uncertainty: of the newest report that has one, "0.04 percentage points"; highest: the result (%) that less it is at the limit."""

    uncertainty: str
    highest: float


def judged_of(used: Iterable[Used], profile: Profile) -> Judged | None:
    """By the bags of one position, in order of days. None where the rules take nothing off, or no report has an uncertainty."""
    given = [one.figures.uncertainty for one in used if one.figures.uncertainty is not None]
    if not profile.limit or profile.uncertainty != TAKEN_OFF or not given:
        return None
    highest = highest_acceptable(profile.limit, given[-1])
    if highest is None:
        return None  # nothing sensible follows
    amount = f"{float(given[-1].amount):g}"
    if given[-1].kind == RELATIVE:
        return Judged(phrase("{amount} % of the result", amount=amount), float(highest))
    return Judged(phrase("{amount} percentage points", amount=amount), float(highest))
