"""The growers' page as plain data for JSON."""

from __future__ import annotations

from calendar_tui.handing_on.report.parts import Drawing, Listed, Page, Part, Text
from calendar_tui.handing_on.tables.json_rows import Row


def page_data(shown: Page) -> Row:
    """sections: each with its parts; of a drawing its caption alone."""
    return {
        "title": shown.title,
        "under": list(shown.under),
        "sections": [
            {"heading": one.heading, "parts": [_part(part) for part in one.parts]} for one in shown.sections
        ],
    }


def _part(part: Part) -> Row:
    if isinstance(part, Text):
        return {"text": part.text}
    if isinstance(part, Listed):
        return {"list": list(part.items)}
    if isinstance(part, Drawing):
        return {"drawing": part.name, "caption": part.caption}
    rows = [dict(zip(part.head, row, strict=True)) for row in part.rows]
    return {"table": part.caption, "columns": list(part.head), "rows": rows, "note": part.note}
