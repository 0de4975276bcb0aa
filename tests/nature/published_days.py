"""Day lengths printed or measured elsewhere, for the tests of the sky: each table with its source."""

from datetime import date

# Skyfield 1.55 with DE421, 2026, longitude 0 (measured): sunrise to sunset, and civil dawn to dusk.
SKYFIELD_2026 = {
    0: "12:06:30 12:47:49 12:06:50 12:49:39 12:07:21 12:52:26 12:06:57 12:50:24 12:07:30 12:52:35",
    28: "12:07:12 12:54:02 13:14:07 14:03:41 13:55:12 14:48:41 13:27:17 14:17:56 10:22:01 11:13:37",
    36: "12:07:49 12:58:57 13:39:30 14:34:26 14:36:28 15:37:02 13:57:40 14:54:08 9:42:44 10:39:58",
    40: "12:08:14 13:02:16 13:54:22 14:53:03 15:00:59 16:06:45 14:15:32 15:16:05 9:19:39 10:20:51",
    45: "12:08:54 13:07:28 14:15:54 15:20:42 15:37:07 16:52:01 14:41:31 15:48:54 8:45:58 9:53:43",
    60: "12:12:33 13:35:43 15:59:41 17:46:26 18:52:04 22:25:15 16:49:49 18:50:13 5:52:11 7:47:51",
}
TABLE_DAYS = [date(2026, 3, 20), date(2026, 5, 1), date(2026, 6, 21), date(2026, 8, 1), date(2026, 12, 21)]


def hours_of(text: str) -> float:
    hours, minutes, seconds = map(int, text.split(":"))
    return hours + minutes / 60 + seconds / 3600


# The year's longest day (h), sunrise to sunset: latitude, longitude, zone, hours.
LONGEST = [
    # A Queensland sowing-date trial reports at most 13 h 40 (read); 13 h 41 there is computed.
    (-24.85, 152.3, "Australia/Brisbane", 13 + 41 / 60),
    # Florida: the centre "closer to 14 h", the southern tip 13.5 h (read); 13 h 58 and 13 h 42 are computed.
    (28.68, -81.4, "America/New_York", 13 + 58 / 60),
    (25.09, -80.5, "America/New_York", 13 + 42 / 60),
    # The two other trial latitudes, computed.
    (35.8, -79, "America/New_York", 14 + 35 / 60),
    (42.88, -77, "America/New_York", 15 + 21 / 60),
]

# First date at or above the length in spring, first date below it in summer (computed, +-1 day).
CROSSINGS = [
    (28.68, 13.75, (5, 26), (7, 19)),
    (28.68, 13.5, (5, 12), (8, 2)),
    (28.68, 13.0, (4, 21), (8, 23)),
    (35.8, 14.0, (5, 14), (7, 31)),
    (35.8, 13.75, (5, 5), (8, 9)),
    (35.8, 13.5, (4, 28), (8, 17)),
    (35.8, 13.0, (4, 13), (8, 31)),
    (42.88, 14.0, (4, 30), (8, 15)),
    (42.88, 13.75, (4, 24), (8, 20)),
    (42.88, 13.5, (4, 18), (8, 26)),
    (42.88, 13.0, (4, 8), (9, 6)),
]
