"""Which key of a footer was clicked."""

from __future__ import annotations

from rich.cells import cell_len
from textual import events
from textual.widget import Widget

from calendar_tui.screens.kit.canvas import Runs

_ARROWS = {"\u2191": "up", "\u2193": "down", "\u2190": "left", "\u2192": "right"}


def press_clicked(widget: Widget, foot: Runs, event: events.Click) -> None:
    """Press the key whose name or word was clicked, if any; the click is then at its end."""
    if name := key_clicked(foot, event.x):
        event.stop()
        widget.app.simulate_key(name)


def key_clicked(foot: Runs, x: int) -> str:
    """Textual's name of the key that a footer names at a column, or whose word stands there; "" where none does."""
    begin, at, shown = 0, 0, ""
    for text, style in foot:
        if style == "key":
            begin, shown = at, text
        word_end = at + cell_len(text.rstrip())
        if at <= x < word_end:
            return _name(shown, x - begin) if style in ("key", "footer") else ""
        at += cell_len(text)
    return ""


def _name(shown: str, x: int) -> str:
    """The key at a column of keys that are named together, such as +- or n/Esc; the first beyond them."""
    between = "/" if "/" in shown else ""
    if (whole := _key(shown)) or not (between or len(shown) == 2 or not any(map(str.isalnum, shown))):
        return whole
    names = shown.split(between) if between else list(shown)
    ends = [cell_len(between.join(names[: n + 1])) for n in range(len(names))]
    at = next((n for n, end in enumerate(ends) if x < end), 0)
    return _key(names[at])


def _key(shown: str) -> str:
    from calendar_tui.screens.kit.own_keys import typed_key

    return _ARROWS.get(shown) or (typed_key(shown) or ("", ""))[0]
