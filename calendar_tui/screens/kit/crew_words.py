"""The crew's language on screen: what its views draw is made inside it, and what they save is not."""

from __future__ import annotations

from contextlib import AbstractContextManager, nullcontext
from typing import Any

from textual.screen import Screen

from calendar_tui.language.speaking import speaking
from calendar_tui.screens.kit.host import host
from calendar_tui.storage.problems import SeasonFileError


def crew_words(view: Screen[Any]) -> AbstractContextManager[None]:
    """What is drawn inside is in the language of the person, of the season or of the computer, where the view has CREW set.

    A catalogue that does not read leaves the view in English; `week` names what is wrong with it.
    """
    if not getattr(view, "CREW", False):
        return nullcontext()
    at = host(view)
    of_season = "" if at.plan is None else at.plan.season.language
    own, locale = at.preferences.language, at.preferences.locale
    if not (own or of_season or locale):
        return nullcontext()
    from calendar_tui.storage.languages import crew_file, load_language

    file = crew_file(own, of_season, locale)
    try:
        return nullcontext() if file is None else speaking(load_language(file))
    except SeasonFileError:
        return nullcontext()
