"""How the cohorts are arranged on screen."""

from __future__ import annotations

from typing import NamedTuple

from calendar_tui.planning.arranging import WAYS
from calendar_tui.screens.season.bookmark import Bookmark


class Arrangement(NamedTuple):
    """way: a key of WAYS. words: what cohorts are found by. folded: names of groups that are a row each."""

    way: str = next(iter(WAYS))
    words: str = ""
    folded: frozenset[str] = frozenset()

    @property
    def next_way(self) -> Arrangement:
        """With the next way to group them, nothing folded."""
        ways = list(WAYS)
        way = ways[(ways.index(self.way) + 1) % len(ways)]
        return self._replace(way=way, folded=frozenset())

    def finding(self, words: str) -> Arrangement:
        """With those alone that other words find, nothing folded."""
        return self if words == self.words else self._replace(words=words, folded=frozenset())


AS_OPENED = Arrangement()


def arrangement_of(bookmark: Bookmark) -> Arrangement:
    """How the cohorts are arranged where one begins."""
    way = bookmark.arranged if bookmark.arranged in WAYS else AS_OPENED.way
    return Arrangement(way, bookmark.words, frozenset(bookmark.folded))
