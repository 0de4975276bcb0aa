"""Work in a thread of which only the last that was asked for counts."""

from __future__ import annotations

from collections.abc import Callable
from threading import Lock
from typing import Any, Generic, TypeVar

from textual.app import App

Made = TypeVar("Made")


class Latest(Generic[Made]):
    """Works one thing out at a time; of what is asked for meanwhile only the last is worked out after it."""

    def __init__(self, app: App[Any], take: Callable[[Made], None]) -> None:
        """take: called by the app with what was worked out, unless something else was asked for since."""
        self._app, self._take = app, take
        self._lock = Lock()
        self._next: Callable[[], Made] | None = None
        self._runs = False

    def ask(self, make: Callable[[], Made]) -> None:
        """Work this out as soon as what runs is done."""
        with self._lock:
            self._next = make
            if self._runs:
                return
            self._runs = True
        self._app.run_worker(self._run, thread=True, group="latest")

    def _run(self) -> None:
        while (make := self._begin()) is not None:
            made = make()
            if self._next is None:
                self._app.call_from_thread(self._hand_on, made)

    def _begin(self) -> Callable[[], Made] | None:
        with self._lock:
            make, self._next = self._next, None
            self._runs = make is not None
            return make

    def _hand_on(self, made: Made) -> None:
        if self._next is None:
            self._take(made)
