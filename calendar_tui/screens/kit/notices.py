"""What the program tells: one message in the footer's line until the next key that does something, and all of them on a page."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable
from typing import Literal, NamedTuple

# What stands where a thread still works out what is to be shown.
WORKING = "Working it out ..."
Severity = Literal["information", "warning", "error"]
# So many messages are kept for the page that has them all.
KEPT = 200


class Notice(NamedTuple):
    """back: the group of the key that takes back what is told, "undo" or "redo"; "" where there is nothing to take back."""

    text: str
    severity: Severity = "information"
    back: str = ""


class Message(NamedTuple):
    """What stands in the footer's line. more: how many further messages there are since the last key."""

    notice: Notice
    more: int = 0

    @property
    def line(self) -> str:
        return "  ".join(line.strip() for line in self.notice.text.splitlines())

    def worded(self, words: Callable[[str], str]) -> Message:
        """The message with each of its lines put into other words."""
        text = "\n".join(map(words, self.notice.text.splitlines()))
        return self._replace(notice=self.notice._replace(text=text))


class Notices:
    """since_key: what was told since the last key that did something; kept: all of it, oldest first."""

    def __init__(self) -> None:
        self.since_key: list[Notice] = []
        self.kept: deque[Notice] = deque(maxlen=KEPT)

    def add(self, notice: Notice) -> None:
        self.since_key.append(notice)
        self.kept.append(notice)

    def clear(self) -> None:
        """All since the last key have been seen, or hold no more."""
        self.since_key.clear()

    @property
    def message(self) -> Message | None:
        """One message for all since the last key: the last refusal, else the newest; None where nothing was told.

        A refusal says that something is not in the file: what others do meanwhile must not push it off.
        """
        refusals = [notice for notice in self.since_key if notice.severity == "error"]
        shown = (refusals or self.since_key)[-1:]
        return Message(shown[0], len(self.since_key) - 1) if shown else None
