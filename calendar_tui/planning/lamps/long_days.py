"""Long days on plants that are induced already: their flowering may stay incomplete, or turn back."""

from __future__ import annotations

from datetime import timedelta

from calendar_tui.planning.laying_out.light import Light
from calendar_tui.planning.laying_out.timeline import Timeline
from calendar_tui.season.wording import day_text, days_text, hours_text, some_text

# So few long days are not told. A starting value, common practice, no source.
WARN_FROM_D = 3


def long_days_text(timeline: Timeline, light: Light) -> str:
    """The days from its induction to its harvest on which a cohort feels its critical day or more, or ""."""
    induced, harvest = timeline.likely("induced"), timeline.likely("harvest")
    if induced is None or harvest is None:
        return ""
    critical = timeline.variety.critical_day.likely
    days = range(light.index(induced) + 1, min(light.index(harvest), len(timeline.felt_h)))
    long = [n for n in days if timeline.felt_h[n] >= critical]
    if len(long) < WARN_FROM_D:
        return ""
    cohort, first = timeline.cohort, light.first + timedelta(days=long[0])
    return (
        f"{cohort.id} is induced on {day_text(induced)} and from {day_text(first)} feels {days_text(len(long))} of up to "
        f"{hours_text(max(timeline.felt_h[n] for n in long))}, its critical day {hours_text(critical)} or more"
        f"{_why(timeline, light, long)}: it may turn back or flower poorly, which its dates do not count; "
        f"keep its days short up to harvest"
    )


def _why(timeline: Timeline, light: Light, long: list[int]) -> str:
    """Whose lamps, where the natural day is not as long itself."""
    lit = [n for n in long if light.natural_h[n] < timeline.variety.critical_day.likely]
    if not lit:
        return " of natural day"
    days = [light.first + timedelta(days=n) for n in lit]
    where = {day: timeline.stay_on(day).light for day in days}
    whose = {name for day in days for name in light.places[where[day]].lit_for(day)}
    names = list(dict.fromkeys(where.values()))
    verb = "is" if len(names) == 1 else "are"
    return f" ({some_text(names)} {verb} lit for {', '.join(sorted(whose))})" if whose else ""
