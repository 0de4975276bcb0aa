"""Labels on their sheets as plain data for JSON."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from calendar_tui.handing_on.paper.label_sheets import Sheet, label_places
from calendar_tui.handing_on.paper.labels import LabelText


def label_rows(
    texts: Sequence[LabelText], sheet: Sheet, first: int, offset_x: float, offset_y: float
) -> list[dict[str, Any]]:
    """What stands on each label, and where: the page, from 1, and mm from its left upper corner. Raises ValueError."""
    places = label_places(sheet, len(texts), first=first, offset_x=offset_x, offset_y=offset_y)
    return [
        {
            "id": text.id,
            "head": text.head,
            "beside": text.beside,
            "lines": list(text.lines),
            "notice": text.notice,
            "page": place.page,
            "left_mm": round(place.left, 3),
            "top_mm": round(place.top, 3),
        }
        for text, place in zip(texts, places, strict=True)
    ]


def sheet_row(sheet: Sheet) -> dict[str, Any]:
    """A sheet of labels, all in mm."""
    return {
        "id": sheet.id,
        "paper": sheet.paper,
        "columns": sheet.columns,
        "rows": sheet.rows,
        "label_mm": [sheet.label_w, sheet.label_h],
    }
