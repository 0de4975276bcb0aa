"""Pages that stand alone: elements of HTML and SVG with all text escaped, no script, and nothing fetched from anywhere."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from html import escape

from calendar_tui.language.speaking import spoken_code
from calendar_tui.season.readers import plain

# What a browser is told not to do, should anything in the page ask for it.
_POLICY = "default-src 'none'; style-src 'unsafe-inline'"
_FONTS = "'DejaVu Sans', Verdana, Arial, sans-serif"
# How wide letters are on average, in parts of their height: a little more than most fonts need.
_LETTER, _WIDE_LETTER = 0.58, 1.05
_ELLIPSIS = "…"


@dataclass(frozen=True, slots=True)
class Paper:
    """A sheet of paper as it lies in the printer: its name in CSS, width, height and margin in mm."""

    css: str
    width: float
    height: float
    margin: float

    @property
    def inner(self) -> tuple[float, float]:
        """Width and height in mm inside the margins; a hair less high, so that rounding makes no further page."""
        return self.width - 2 * self.margin, self.height - 2 * self.margin - 1


# By what it is called, and whether a wall or a week hangs on it.
WALL_PAPERS: Mapping[str, Paper] = {
    "iso": Paper("A3 landscape", 420, 297, 8),
    "us": Paper("17in 11in", 431.8, 279.4, 8),
}
SHEET_PAPERS: Mapping[str, Paper] = {
    "iso": Paper("A4 portrait", 210, 297, 12),
    "us": Paper("letter portrait", 215.9, 279.4, 12),
}


def escaped(text: str) -> str:
    """Text that is nothing but text in a page, and steers neither it nor the direction of what follows."""
    return escape(plain(text), quote=True)


def element(name: str, *inside: str, **attributes: str | float | None) -> str:
    """An element around markup that is made already. A name such as font_size becomes font-size, class_ class.

    Attributes that are None are left out; their values are escaped, numbers rounded to hundredths.
    """
    given = "".join(
        f' {key.rstrip("_").replace("_", "-")}="{_value(value)}"'
        for key, value in attributes.items()
        if value is not None
    )
    return f"<{name}{given}>{''.join(inside)}</{name}>"


def _value(value: str | float) -> str:
    return escaped(value) if isinstance(value, str) else f"{round(value, 2):g}"


def drawing(title: str, wide: float, high: float, inside: Iterable[str]) -> str:
    """An SVG of so many mm that stands in a page or alone; title: what it shows, for those who do not see it."""
    return element(
        "svg",
        element("title", escaped(title)),
        *inside,
        xmlns="http://www.w3.org/2000/svg",
        viewBox=f"0 0 {wide:g} {high:g}",
        width=f"{wide:g}mm",
        height=f"{high:g}mm",
        font_family=_FONTS,
        role="img",
        aria_label=title,
    )


def label(x: float, y: float, text: str, size: float, **attributes: str | float | None) -> str:
    """A text of an SVG: its foot at y, `size` high."""
    return element("text", escaped(text), x=x, y=y, font_size=size, **attributes)


def width_of(text: str, size: float) -> float:
    """About how wide a text is, in the unit of its size."""
    wide = sum(unicodedata.east_asian_width(c) in "WF" for c in text)
    return size * (_LETTER * (len(text) - wide) + _WIDE_LETTER * wide)


def fitted(text: str, width: float, size: float) -> str:
    """The text, or as much of it as goes into a width; width and size in mm."""
    if width_of(text, size) <= width:
        return text
    while text and width_of(text + _ELLIPSIS, size) > width:
        text = text[:-1]
    return text.rstrip() + _ELLIPSIS


def page(title: str, paper: Paper, css: str, body: Iterable[str]) -> bytes:
    """A whole page to open in a browser and print on this paper."""
    style = f"@page {{ size: {paper.css}; margin: {paper.margin:g}mm }} * {{ font-family: {_FONTS} }} {css}"
    head = (
        '<meta charset="utf-8">',
        f'<meta http-equiv="Content-Security-Policy" content="{escape(_POLICY)}">',
        '<meta name="viewport" content="width=device-width">',
        element("title", escaped(title)),
        f"<style>{style}</style>",
    )
    lines = [
        "<!DOCTYPE html>",
        f'<html lang="{spoken_code()}">',
        "<head>",
        *head,
        "</head>",
        "<body>",
        *body,
        "</body>",
        "</html>",
        "",
    ]
    return "\n".join(lines).encode()
