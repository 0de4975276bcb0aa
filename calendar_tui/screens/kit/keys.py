"""The last line of a view, as a widget: whole pairs of a key and what it does, or what the program tells."""

from __future__ import annotations

from collections.abc import Sequence

from rich.segment import Segment
from textual import events

from calendar_tui.language.speaking import tr, translated
from calendar_tui.screens.kit.actions import keys_on
from calendar_tui.screens.kit.canvas import Runs
from calendar_tui.screens.kit.clicked import press_clicked
from calendar_tui.screens.kit.crew_words import crew_words
from calendar_tui.screens.kit.drawing import Bar, ListRow, glyphs_of
from calendar_tui.screens.kit.foot import foot_runs
from calendar_tui.screens.kit.host import host
from calendar_tui.screens.kit.themes import named


class Keys(Bar):
    """A line of keys; they stand out."""

    def __init__(self, foot: Sequence[str], id: str | None = None, **words: str) -> None:
        """foot: the groups of keys that stand in it; words: what fills the names in their words."""
        super().__init__(id=id)
        self._foot, self._words = foot, words
        self._runs: Runs = ()

    def name_keys(self, foot: Sequence[str], **words: str) -> None:
        """Name these keys from now on."""
        self._foot, self._words = foot, words
        self.fit()

    def on_mount(self) -> None:
        self.fit()

    def on_resize(self) -> None:
        self.fit()

    def fit(self) -> None:
        """Show what was told last, or the keys."""
        width = self.size.width or self.app.size.width
        message = host(self.screen).notices.message
        with crew_words(self.screen):
            words = {name: tr(word) for name, word in self._words.items()}
            keys = [key._replace(foot=tr(key.foot, **words)) for key in keys_on(self, *self._foot)]
            told = message and message.worded(translated)
            self._runs = foot_runs(keys, width, glyphs_of(self), told)
        self.say(ListRow(tuple(Segment(text, named(names)) for text, names in self._runs)))

    def on_click(self, event: events.Click) -> None:
        """A key that is clicked acts as if it were pressed."""
        press_clicked(self, self._runs, event)
