"""Lamps: the day a plant feels where the natural day is joined with lamp light."""

from __future__ import annotations

from collections.abc import Sequence


def felt_days_h(natural_h: Sequence[float], lit: Sequence[bool], target_h: float) -> tuple[float, ...]:
    """Felt day length (h) for each day: extended to `target_h` on lit days, else natural.

    Lamps only lengthen: where the natural day is longer than the target they add nothing. The two sequences have
    one value a day. Raises ValueError where their lengths differ.
    """
    return tuple(
        max(natural, target_h) if burning else natural
        for natural, burning in zip(natural_h, lit, strict=True)
    )
