"""What is told over the views: one message at a time, and how many more there are."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal, NamedTuple

Severity = Literal["information", "warning", "error"]
SEVERITIES: tuple[Severity, ...] = ("information", "warning", "error")


class Notice(NamedTuple):
    """timeout: for how long it stays, in seconds."""

    text: str
    severity: Severity
    timeout: float


def shown(notices: Sequence[Notice]) -> Notice:
    """One message for all that was told since the last key: the newest, and before it the last refusal.

    A refusal says that something is not in the file: what others do meanwhile must not push it off.
    """
    from calendar_tui.handing_on.words.plain_text import count_text

    newest = notices[-1]
    refusals = [notice for notice in notices[:-1] if notice.severity == "error"]
    whole = [*(refusals[-1:] if newest.severity != "error" else ()), newest]
    others = len(notices) - len(whole)
    texts = [notice.text for notice in whole]
    if others:
        texts.append(f"({count_text(others, 'message')} more since the last key)")
    return Notice(
        "\n".join(texts),
        max((notice.severity for notice in whole), key=SEVERITIES.index),
        max(notice.timeout for notice in whole),
    )
