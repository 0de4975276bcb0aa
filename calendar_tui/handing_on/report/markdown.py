"""The growers' page as Markdown: tables as GitHub and Pandoc read them, drawings as files of their own beside it."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator

from calendar_tui.handing_on.report.parts import Drawing, Listed, Page, Part, Table, Text
from calendar_tui.season.readers import plain

# What Markdown would take for more than text, wherever it stands; and at the beginning of a line.
_MARKS = re.compile(r"([\\`*_{}\[\]<>#|~])")
_AT_FIRST = re.compile(r"^(\s*)([-+]|\d+[.)])(?=\s)")


def markdown_page(shown: Page, picture: Callable[[Drawing], str] | None = None) -> str:
    """picture: the file of a drawing, as it is named in the page; without it drawings are told by their captions alone."""
    lines = [f"# {_text(shown.title)}", "", *(f"{_text(line)}  " for line in shown.under)]
    for one in shown.sections:
        lines += ["", f"## {_text(one.heading)}"]
        for part in one.parts:
            lines += ["", *_part(part, picture)]
    return "\n".join(lines) + "\n"


def _part(part: Part, picture: Callable[[Drawing], str] | None) -> Iterator[str]:
    if isinstance(part, Text):
        yield _text(part.text)
    elif isinstance(part, Listed):
        yield from (f"- {_text(item)}" for item in part.items)
    elif isinstance(part, Table):
        yield from _table(part)
    else:
        caption = _text(part.caption)
        yield f"*Drawing: {caption}*" if picture is None else f"![{caption}]({picture(part)})"


def _table(table: Table) -> Iterator[str]:
    yield f"**{_text(table.caption)}**"
    yield ""
    yield _row(table.head)
    yield _row(tuple("---:" if n in table.numbers else "---" for n in range(len(table.head))), escape=False)
    yield from map(_row, table.rows)
    if table.note:
        yield ""
        yield _text(table.note)


def _row(cells: tuple[str, ...], escape: bool = True) -> str:
    return f"| {' | '.join(_text(cell) if escape else cell for cell in cells)} |"


def _text(text: str) -> str:
    """Text that is nothing but text."""
    return _AT_FIRST.sub(r"\1\\\2", _MARKS.sub(r"\\\1", plain(text)))
