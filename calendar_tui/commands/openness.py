"""What a command is asked to tell of persons and places where a season is handed on."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from calendar_tui.season.readers import choices
from calendar_tui.season.refusal import Refusal

if TYPE_CHECKING:
    from calendar_tui.handing_on.words.openness import Openness


def openness_of(args: argparse.Namespace) -> Openness:
    """By the flags OPENNESS. Raises Refusal for an unknown licence."""
    from calendar_tui.handing_on.words.openness import Openness

    return Openness(args.names, args.exact_place, _licence(args.licence))


def _licence(word: str | None) -> str:
    from calendar_tui.handing_on.words.openness import LICENCES

    if word is None:
        return ""
    found = next((one for one in LICENCES if one.casefold() == word.casefold()), None)
    if found is None:
        raise Refusal(f'--licence "{word}" is unknown{choices(word, LICENCES, "Licences")}')
    return found
