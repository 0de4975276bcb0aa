"""Which time zone is proposed for a position."""

from __future__ import annotations

import pytest

from calendar_tui.season.time_zones import zones_at


@pytest.mark.parametrize(
    ("at", "zones"),
    [
        ((44.5, -123.2), ("America/Los_Angeles",)),  # the nearest city of the tables of zones is Boise's
        ((-34.3, -56.7), ("America/Montevideo",)),
        ((43.3, -1.9), ("Europe/Madrid",)),  # a few kilometres from the border
        ((43.4, -1.6), ("Europe/Paris",)),
        ((44.0, 87.4), ("Asia/Shanghai", "Asia/Urumqi")),
        ((10.0, -30.0), ()),
    ],
)
def test_the_zones_of_a_position(at: tuple[float, float], zones: tuple[str, ...]) -> None:
    assert zones_at(*at) == zones
