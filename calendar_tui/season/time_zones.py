"""The time zones of a position, to be proposed: which of them the farm's clock keeps is for its people to say."""

from __future__ import annotations

from zoneinfo import ZoneInfo


def zones_at(latitude: float, longitude: float) -> tuple[str, ...]:
    """The IANA names of the zones whose area holds a position, in degrees; () at sea.

    The areas are those of timezone-boundary-builder, as tzfpy simplifies them: within some hundred metres of a border the
    zone may be the neighbour's. Where two clocks are in use, both stand, the official one first.
    """
    from tzfpy import get_tz, get_tzs

    names = dict.fromkeys((get_tz(longitude, latitude), *get_tzs(longitude, latitude)))
    return tuple(name for name in names if not name.startswith("Etc/") and _is_known(name))


def _is_known(name: str) -> bool:
    """Whether Python's tables of zones, which may be older, have it too."""
    try:
        ZoneInfo(name)
    except (KeyError, ValueError, OSError):
        return False
    return True
