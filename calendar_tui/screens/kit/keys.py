"""The line of keys at the foot of a view: whole pairs of a key and what it does, as many as there is room for."""

from __future__ import annotations

from collections.abc import Sequence

from calendar_tui.screens.kit.actions import GAP, footer, in_group
from calendar_tui.screens.kit.drawing import BOLD, Bar, glyphs_of, row


class Keys(Bar):
    """A line of keys; they stand out."""

    def __init__(self, foot: Sequence[str], id: str | None = None, **words: str) -> None:
        """foot: the groups of keys that stand in it; words: what fills the names in their words."""
        super().__init__(id=id)
        self._foot, self._words = foot, words

    def name_keys(self, foot: Sequence[str], **words: str) -> None:
        """Name these keys from now on."""
        self._foot, self._words = foot, words
        self._fit()

    def on_mount(self) -> None:
        self._fit()

    def on_resize(self) -> None:
        self._fit()

    def _fit(self) -> None:
        width = self.size.width or self.app.size.width
        keys = [key._replace(foot=key.foot.format(**self._words)) for key in in_group(*self._foot)]
        pairs = footer(keys, width, glyphs_of(self).arrows)
        self.say(row(*(part for key, does in pairs for part in ((key, BOLD), f" {does}{GAP}"))))
