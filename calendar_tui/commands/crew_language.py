"""In which language a crew is shown its work: that of --lang, of one's settings, of the season, or of the computer."""

from __future__ import annotations

import argparse
import os
from contextlib import AbstractContextManager
from pathlib import Path
from typing import TYPE_CHECKING

from calendar_tui.language.speaking import speaking

if TYPE_CHECKING:
    from calendar_tui.language.catalogue import Catalogue
    from calendar_tui.season.records import Season

# Where a computer's language is set, the first before the others (POSIX 8.2).
LOCALES = ("LC_ALL", "LC_MESSAGES", "LANG")
_ENGLISH = ("", "C", "POSIX", "en")


def crew_language(args: argparse.Namespace, season: Season) -> Catalogue | None:
    """The language, None for English. Raises Refusal for one that there is not; a catalogue's faults are told."""
    from calendar_tui.storage.own.settings_file import read_own, settings_file

    if args.lang is not None:
        return _asked(args.lang, "--lang ")
    if own := read_own(settings_file()).settings.language:
        return _asked(own, "the language in your settings, ")
    return season_language(season)


def season_language(season: Season) -> Catalogue | None:
    """The language of a season, else of the computer."""
    if season.language:
        return _asked(season.language, "the season's language ")
    locale = next((word for name in LOCALES if (word := os.environ.get(name))), "")
    if locale.partition(".")[0].partition("_")[0] in _ENGLISH:
        return None
    from calendar_tui.storage.languages import of_locale

    return _loaded(of_locale(locale))


def crew_speaks(args: argparse.Namespace, season: Season) -> AbstractContextManager[None]:
    """What is made inside is in the crew's language."""
    return speaking(crew_language(args, season))


def _asked(code: str, flag: str) -> Catalogue | None:
    if code in _ENGLISH:
        return None
    from calendar_tui.storage.languages import need_language

    return _loaded(need_language(code, flag))


def _loaded(file: Path | None) -> Catalogue | None:
    if file is None:
        return None
    from calendar_tui.commands.command_input import tell
    from calendar_tui.storage.languages import faults, load_language

    language = load_language(file)
    tell(f"{fault}; it stays in English" for fault in faults(file))
    return language
