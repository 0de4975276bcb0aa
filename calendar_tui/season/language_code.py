"""The code of a language, as files have it."""

from __future__ import annotations

import re
from typing import Any

from calendar_tui.season.readers import Unreadable, shown, text

LANGUAGE = re.compile(r"[a-z]{2,3}([_-][A-Z]{2})?")


def language_code(value: Any) -> str:
    """The code of a language, by ISO 639 and with a country by ISO 3166 or without: "es", "pt-BR"."""
    code = text(value)
    if not code or LANGUAGE.fullmatch(code):
        return code
    raise Unreadable(f"is {shown(code)}; write the code of a language, such as es or pt-BR")
