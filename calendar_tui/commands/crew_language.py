"""In which language a crew is shown its work: that of --lang, of one's settings, of the season, or of the computer."""

from __future__ import annotations

import argparse
import os
from collections.abc import Iterator
from contextlib import contextmanager
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

from calendar_tui.language.speaking import is_english, speaking, translated
from calendar_tui.season.refusal import Refusal

if TYPE_CHECKING:
    from calendar_tui.language.catalogue import Catalogue
    from calendar_tui.season.records import Season

# Where a computer's language is set, the first before the others (POSIX 8.2).
LOCALES = ("LC_ALL", "LC_MESSAGES", "LANG")
_ENGLISH = ("", "C", "POSIX", "en")


def crew_language(args: argparse.Namespace, season: Season) -> Catalogue | None:
    """The language, None for English. Raises Refusal for a --lang that there is not; what else is wrong is told."""
    from calendar_tui.storage.own.settings_file import read_own, settings_file

    if args.lang is not None:
        if args.lang in _ENGLISH:
            return None
        from calendar_tui.storage.languages import need_language

        return _loaded(need_language(args.lang, "--lang "))
    own = read_own(settings_file()).settings.language
    return _chosen(own, season.language)


def locale() -> str:
    """What the computer's language is called, such as es_UY.UTF-8; "" where it is English or not set."""
    word = next((word for name in LOCALES if (word := os.environ.get(name))), "")
    return "" if word.partition(".")[0].partition("_")[0] in _ENGLISH else word


def _chosen(own: str, of_season: str) -> Catalogue | None:
    """The first of these that is set, else the computer's; nothing is loaded for English."""
    code = own or of_season
    if code == "en" or not (code or locale()):
        return None
    from calendar_tui.commands.command_input import tell
    from calendar_tui.storage.languages import crew_file, need_language

    file = crew_file(own, of_season, locale())
    if file is None and code:
        # Nobody is kept from the work by a language that is not here.
        try:
            need_language(code)
        except Refusal as wrong:
            tell([f"{wrong}; English until then"])
    return _loaded(file)


@contextmanager
def crew_speaks(args: argparse.Namespace, season: Season) -> Iterator[None]:
    """What is made inside is in the crew's language, and so is what is refused; what is saved is made outside, or in `speaking(None)`."""
    with speaking(crew_language(args, season)):
        try:
            yield
        except Refusal as refused:
            # What is wrong with a file is told with its lines, to whoever mends it.
            if is_english() or type(refused) is not Refusal:
                raise
            raise Refusal(in_crew_language(refused)) from refused


def in_crew_language(refused: Exception) -> str:
    """Why something cannot be done, line by line in the language that is spoken."""
    return "\n".join(map(translated, str(refused).splitlines()))


@cache
def _loaded(file: Path | None) -> Catalogue | None:
    if file is None:
        return None
    from calendar_tui.commands.command_input import tell
    from calendar_tui.storage.languages import faults, load_language

    language = load_language(file)
    tell(f"{fault}; it stays in English" for fault in faults(file))
    return language
