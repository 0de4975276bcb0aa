"""What cannot be done: one error for the whole program, caught once, where a command or a view ends."""

from __future__ import annotations

from collections.abc import Sequence

from calendar_tui.language.speaking import phrase


class Refusal(ValueError):
    """Something that cannot be done. The message says where, what, and what would be right."""


def refuse_all(refused: Sequence[str], count: int) -> None:
    """Refuse what is done to `count` tasks or cohorts together where it cannot be done to some: all or nothing."""
    if refused:
        raise Refusal(
            "\n".join([*dict.fromkeys(refused), *([phrase("nothing saved.")] if count > 1 else [])])
        )
