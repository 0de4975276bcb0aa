"""JSON as every command prints it; apart from the rows, so that the week's work loads little."""

from __future__ import annotations

import json
from datetime import date
from typing import Any


def json_text(value: Any) -> str:
    """JSON, two spaces deep, dates and instants in ISO 8601; what is not seen in a text is escaped."""
    text = json.dumps(value, indent=2, ensure_ascii=False, default=_iso)
    if text.replace("\n", "").isprintable():
        return text
    return "".join(c if c == "\n" or c.isprintable() else json.dumps(c)[1:-1] for c in text)


def _iso(value: Any) -> str:
    if isinstance(value, date):
        return value.isoformat()
    raise TypeError(f"{type(value).__name__} has no JSON form")
