"""Times of the local clock and the instants they are: an hour that the clock leaves out is refused, one that it has twice is asked."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta, tzinfo

FIRST, SECOND = WHICH = ("first", "second")
_MINUTE = timedelta(minutes=1)


class LocalTimeError(ValueError):
    """A time of the clock that is no one instant. The message says what would be right."""


def instant(local: datetime, zone: tzinfo, which: str = "") -> datetime:
    """The instant (UTC) of a local time without a zone.

    which: FIRST or SECOND of a time that the clock has twice, when it is put back; "" where it is not given. Raises
    LocalTimeError for a time that does not exist, with those beside it, and for one that exists twice where which is "".
    """
    if which not in ("", *WHICH):
        raise LocalTimeError(f'which is "{which}"; write one of: {", ".join(WHICH)}')
    both = [local.replace(tzinfo=zone, fold=fold).astimezone(UTC) for fold in (0, 1)]
    if both[0] == both[1]:
        return both[0]
    if both[0] > both[1]:  # skipped: the clock before the change read it later than the clock after it
        before, after = _beside_gap(both[1], both[0], zone)
        raise LocalTimeError(
            f"{_text(local)} does not exist, the clock goes from {before:%H:%M} to {after:%H:%M} then; "
            f"write {before:%H:%M} or {after:%H:%M}"
        )
    if not which:
        raise LocalTimeError(
            f"{_text(local)} exists twice, the clock is put back then; give which: first ({_offset(both[0], zone)}) "
            f"or second ({_offset(both[1], zone)})"
        )
    return both[WHICH.index(which)]


def local_time(moment: datetime, zone: tzinfo) -> datetime:
    """What the local clock shows at an instant, without a zone."""
    return moment.astimezone(zone).replace(tzinfo=None, fold=0)


def day_begins(local_midnight: datetime, zone: tzinfo) -> datetime:
    """The instant (UTC) at which a day begins; where the clock leaves its midnight out, the first minute that it has."""
    moment = local_midnight.replace(tzinfo=zone, fold=0).astimezone(UTC)
    # A skipped midnight is read by the clock before the change, which is as long after it as the skipped part: go back.
    while local_time(moment - _MINUTE, zone).date() >= local_midnight.date():
        moment -= _MINUTE
    return moment


def _beside_gap(low: datetime, high: datetime, zone: tzinfo) -> tuple[datetime, datetime]:
    """The last minute before the clock is put forward, and the first after, local. low, high: instants round the change."""
    first = low.astimezone(zone).utcoffset()
    while high - low > _MINUTE:
        middle = low + ((high - low) / 2 // _MINUTE) * _MINUTE
        if middle.astimezone(zone).utcoffset() == first:
            low = middle
        else:
            high = middle
    return local_time(low, zone), local_time(high, zone)


def _text(local: datetime) -> str:
    return f"{local:%H:%M} on {local.day} {local:%b %Y}"


def _offset(moment: datetime, zone: tzinfo) -> str:
    """ "UTC-04:00"."""
    text = moment.astimezone(zone).strftime("%z")
    return f"UTC{text[:3]}:{text[3:5]}"
