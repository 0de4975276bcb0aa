"""The crew's language on screen: what its views draw is made inside it, and what they save is not."""

from __future__ import annotations

from contextlib import AbstractContextManager, nullcontext
from functools import cache
from itertools import takewhile
from typing import TYPE_CHECKING, Any

from textual.screen import Screen

from calendar_tui.language.speaking import speaking
from calendar_tui.screens.kit.host import host
from calendar_tui.storage.problems import SeasonFileError

if TYPE_CHECKING:
    from calendar_tui.language.catalogue import Catalogue


def crew_words(view: Screen[Any]) -> AbstractContextManager[None]:
    """What is drawn inside a crew's view is in the language of the person, of the season or of the computer.

    CREW of a view: whether it is a crew's; None where that is so if the view from which it was opened is one.
    A catalogue that does not read leaves the view in English; `week` names what is wrong with it.
    """
    if not _is_crews(view):
        return nullcontext()
    at = host(view)
    of_season = "" if at.plan is None else at.plan.season.language
    own, locale = at.preferences.language, at.preferences.locale
    return speaking(_language(own, of_season, locale) if own or of_season or locale else None)


@cache
def _language(own: str, of_season: str, locale: str) -> Catalogue | None:
    """The language, None for English; looked for once, since every row that is drawn asks for it."""
    from calendar_tui.storage.languages import crew_file, load_language

    file = crew_file(own, of_season, locale)
    try:
        return None if file is None else load_language(file)
    except SeasonFileError:
        return None


def _is_crews(view: Screen[Any]) -> bool:
    own = getattr(view, "CREW", False)
    if own is not None:
        return bool(own)
    below = takewhile(lambda screen: screen is not view, view.app.screen_stack)
    return any(_is_crews(screen) for screen in list(below)[-1:])
