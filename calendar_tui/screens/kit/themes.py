"""The colours of the full screen: a set of styles by their names for each theme and background of the terminal.

The set that comes with the program has the terminal's own 16 colours, in which no text is yellow or bright black before
the background is known. The sets "dark" and "light" have fixed colours: the hues of Okabe and Ito, "Color Universal
Design" (2008, jfly.uni-koeln.de/color), made darker or lighter where text needs it. They reach the contrast 4.5:1 that WCAG
2.2, success criterion 1.4.3, asks of text, on backgrounds from black to #282828 and from white to #eeeeee.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from typing import NamedTuple

from rich.style import Style
from textual.widget import Widget

from calendar_tui.language.speaking import phrase_form
from calendar_tui.screens.kit.glyphs import STYLES

# As they are named by a person, in the order in which a key shows them.
THEMES = ("terminal", "dark", "light")
WORDS: Mapping[str, str] = {
    "terminal": phrase_form("the terminal's own"),
    "dark": phrase_form("for a dark background, told apart also by the colour-blind"),
    "light": phrase_form("for a light background, told apart also by the colour-blind"),
}


class Palette(NamedTuple):
    """Hues by Okabe and Ito; grey is for what stands back."""

    orange: str
    sky: str
    green: str
    yellow: str
    vermillion: str
    purple: str
    grey: str


ON_DARK = Palette("#e69f00", "#56b4e9", "#0ca27a", "#f0e442", "#da7221", "#cc79a7", "#a0a0a0")
ON_LIGHT = Palette("#906400", "#0070b0", "#007b59", "#736d1f", "#b24e00", "#96597b", "#5f5f5f")


def _fixed(of: Palette) -> Mapping[str, str]:
    return {
        **STYLES,
        "notice": f"bold {of.orange}",
        "warning": f"bold {of.orange}",
        "curve": of.yellow,
        "ground": f"dim {of.grey}",
        "lamps": f"bold {of.yellow}",
        "threshold": of.sky,
        "heading": f"bold {of.sky}",
        "covers": of.sky,
        "run": of.sky,
        "nursery": of.green,
        "natural": f"bold {of.green}",
        "induced": of.purple,
        "flower": f"bold {of.purple}",
        "today": f"bold {of.vermillion}",
        "late": f"bold {of.vermillion}",
        "clash": f"bold {of.vermillion}",
        "refusal": f"bold {of.vermillion}",
        "outage": f"bold reverse {of.vermillion}",
        "other": of.grey,
        "legend": of.grey,
        "faint": of.grey,
    }


# By the name of the set. Of the terminal's own colours there are three: before it has told its background, and after.
SETS: Mapping[str, Mapping[str, str]] = {
    "terminal": STYLES,
    "terminal, dark": {
        **STYLES,
        "notice": "bold yellow",
        "warning": "bold yellow",
        "curve": "yellow",
        "lamps": "bold yellow",
        "covers": "bright_blue",
        "threshold": "cyan",
        "heading": "bold cyan",
    },
    "terminal, light": {
        **STYLES,
        "curve": "blue",
        "lamps": "bold blue",
        "threshold": "blue",
        "heading": "bold blue",
    },
    "dark": _fixed(ON_DARK),
    "light": _fixed(ON_LIGHT),
}


def set_of(theme: str, is_dark: bool | None, many: bool = True) -> str:
    """The name of the set for a theme, on a background that is dark, light or not known.

    many: whether the terminal has more than 16 colours; where it has not, a fixed set would have others put in its place.
    """
    if theme == THEMES[0]:
        return theme if is_dark is None else f"{theme}, {'dark' if is_dark else 'light'}"
    return theme if many else f"{THEMES[0]}, {theme}"


@lru_cache(maxsize=1024)
def style_of(names: str, colours: str = THEMES[0]) -> Style:
    """The style for style names with blanks between, in a set."""
    return Style.parse(" ".join(SETS[colours][name] for name in names.split()))


def named(names: str) -> Style:
    """A style that holds only its names; what they are is looked up when it is drawn."""
    return Style(meta=dict.fromkeys(names.split(), True)) if names else Style()


@lru_cache(maxsize=1024)
def painted(style: Style | None, colours: str) -> Style:
    """What a style of names is in a set; another is left as it is."""
    if style is None or not style.meta:
        return style or Style()
    return style_of(" ".join(style.meta), colours)


def colours_on(widget: Widget) -> str:
    """The set that the app of a widget draws with."""
    return str(getattr(widget.app, "colours", THEMES[0]))
