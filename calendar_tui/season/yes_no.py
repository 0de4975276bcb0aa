"""Yes and no as people write them."""

from __future__ import annotations

from collections.abc import Mapping

YES, NO = "yes", "no"
_MEANT: Mapping[str, bool] = {YES: True, "true": True, "on": True, NO: False, "false": False, "off": False}


def is_yes(words: str) -> bool | None:
    """Whether the words mean yes; None where they mean neither."""
    return _MEANT.get(words.strip().casefold())


def yes_no_text(value: bool) -> str:
    return YES if value else NO
