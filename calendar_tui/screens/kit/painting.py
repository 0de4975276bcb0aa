"""The app as far as it has colours: those of a theme, by the background where the terminal tells it, and by a key."""

from __future__ import annotations

from typing import Any

from calendar_tui.language.speaking import phrase
from calendar_tui.screens.kit.drawing import Bar, TextLines
from calendar_tui.screens.kit.sheet import Sheet
from calendar_tui.screens.kit.telling import Given, TellingApp
from calendar_tui.screens.kit.themes import THEMES, WORDS, set_of


class PaintedApp(TellingApp[Given]):
    """colours: the name of the set of styles that is drawn with."""

    def __init__(self, colours: str, **how: Any) -> None:
        super().__init__(**how)
        self._chosen, self._is_dark = colours or THEMES[0], None
        self.colours = self._set()

    @property
    def colour_theme(self) -> str:
        """The theme that is chosen, by its name in the settings."""
        return self._chosen

    _is_dark: bool | None

    def _set(self) -> str:
        """The name of the set to draw with."""
        return set_of(self._chosen, self._is_dark, self.console.color_system in ("256", "truecolor"))

    def ask_background(self) -> None:
        """Ask the terminal for its background, where that makes a difference; its answer may come late or never."""
        ask = getattr(self._driver, "ask_background", None)
        if ask is not None and self._chosen == THEMES[0] and not self.no_color:
            ask()

    def take_background(self, is_dark: bool) -> None:
        """Draw for the background that the terminal has told."""
        self._is_dark = is_dark
        self._paint()

    def action_colours(self) -> None:
        """The next theme."""
        self._chosen = THEMES[(THEMES.index(self._chosen) + 1) % len(THEMES)]
        self._paint()
        words = phrase(WORDS[self._chosen])
        self.notify(phrase("Colours: {theme}, {words}.", theme=self._chosen, words=words))

    def _paint(self) -> None:
        """Send again what looks otherwise now."""
        before, self.colours = self.colours, self._set()
        if before == self.colours:
            return
        for screen in self.screen_stack:
            for sheet in screen.query(Sheet):
                sheet.repaint(before, self.colours)
            for widget in (*screen.query(TextLines), *screen.query(Bar)):
                widget.refresh()
