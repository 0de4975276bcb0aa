"""One rule for halves: up."""

import pytest

from calendar_tui.nature.rounding import whole


@pytest.mark.parametrize(
    ("number", "rounded"),
    [(8.5, 9), (9.5, 10), (8.49, 8), (0.5, 1), (0.0, 0), (-0.5, 0), (-1.5, -1), (-1.6, -2), (12, 12)],
)
def test_halves_go_up(number: float, rounded: int) -> None:
    assert whole(number) == rounded
    assert isinstance(whole(number), int)
