"""What a person has set for themselves, as commands take it up: read once, and what is wrong in it named once."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

from calendar_tui.commands.command_input import tell
from calendar_tui.commands.crew_language import locale
from calendar_tui.season.refusal import Refusal
from calendar_tui.storage.own.settings import Wrong
from calendar_tui.storage.own.settings_file import Own, read_own, settings_file

if TYPE_CHECKING:
    from calendar_tui.screens.kit.own_keys import Own as OwnKeys
    from calendar_tui.screens.kit.preferences import Preferences


def own_settings() -> Own:
    """The settings, what is wrong in them told beside what the command prints."""
    own = read_own(settings_file())
    tell(map(str, own.problems))
    return own


def default_season(own: Own) -> Path | None:
    """The season that is set, None where none is. Raises Refusal where it is not there."""
    if not own.settings.season:
        return None
    path = Path(own.settings.season)
    try:
        is_there = path.is_file()
    except OSError:  # longer than a path can be, or in a folder that may not be looked into
        is_there = False
    if not is_there:
        there = own.placed(Wrong(("season",), f"season is {path}, and there is no such file"))
        raise Refusal(f"{there}; name one that is there, or name a season on the command line")
    return path


def keys_of(own: Own) -> tuple[OwnKeys, Own]:
    """The keys that are set and fit; and the settings with what is wrong with the others."""
    from calendar_tui.screens.kit.own_keys import own_keys

    keys = own_keys(own.settings.keys)
    problems = (*own.problems, *(own.placed(Wrong(*wrong)) for wrong in keys.wrong))
    return keys, own._replace(problems=tuple(sorted(problems, key=lambda p: p.line or 0)))


def preferences_of(args: argparse.Namespace, own: Own) -> Preferences:
    """What is set for the full screen; flags before the file."""
    from calendar_tui.screens.kit.preferences import NO_KEYS, Preferences

    settings = own.settings
    keys = NO_KEYS
    if settings.keys:
        fitting, own = keys_of(own)
        keys = fitting.keys
    note = "" if not own.problems else str(own.problems[0]._replace(file=own.file.name))
    if len(own.problems) > 1:
        note = f"{note} (calendar-tui settings shows {len(own.problems) - 1} more)"
    mouse = settings.mouse and not args.no_mouse
    return Preferences(
        keys,
        mouse,
        settings.role,
        args.theme or settings.theme,
        settings.first_weekday,
        note,
        settings.language,
        locale(),
    )
