"""What was drawn, kept while what it was drawn from is the same."""

from __future__ import annotations

from collections.abc import Callable, Hashable
from typing import Any, TypeVar

T = TypeVar("T")


class Kept:
    """One thing by each name, made again only where its source is another. All is of one ground, such as a plan."""

    def __init__(self) -> None:
        self._ground: tuple[object, ...] = ()
        self._things: dict[Hashable, tuple[object, Any]] = {}

    def on(self, *ground: object) -> None:
        """Forget what was made on another ground; another is any that is not the same object."""
        if len(ground) != len(self._ground) or any(
            a is not b for a, b in zip(ground, self._ground, strict=True)
        ):
            self._ground = ground
            self._things.clear()

    def once(self, name: Hashable, source: object, make: Callable[[], T]) -> T:
        """The thing of this name, made where it is not there or was made from another source."""
        kept = self._things.get(name)
        if kept is None or kept[0] != source:
            kept = self._things[name] = (source, make())
        thing: T = kept[1]
        return thing
