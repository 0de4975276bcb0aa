"""What a chore takes for its cohorts: person-hours, and quantities in words."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from datetime import date
from functools import lru_cache
from itertools import accumulate
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from calendar_tui.language.speaking import phrase, phrase_n
from calendar_tui.nature.lamps import burning_part
from calendar_tui.nature.quantities import area_of_plants_m2, cuttings_needed, seeds_needed, trays
from calendar_tui.planning.laying_out.early import own_askings
from calendar_tui.planning.laying_out.nights import Timer, lamp_runs_of, nights_between
from calendar_tui.planning.laying_out.programmes import programmes_of, timer_follows
from calendar_tui.planning.laying_out.timeline import Timeline
from calendar_tui.planning.tasks.chore_dates import seed_kind
from calendar_tui.season.records import Chore, Cohort, Programme, Season, Site, Variety
from calendar_tui.season.supplies import Supplies

if TYPE_CHECKING:
    from calendar_tui.season.trials import TrialPlot

# Half of regular seed gives males (a dioecious crop's even chance).
FEMALE_SHARES: Mapping[str, float] = {"feminised": 1.0, "regular": 0.5, "clone": 1.0}

# Plants for which the hours of a chore are told.
_PLANTS: Mapping[str, int] = {"plant": 1, "100 plants": 100}

# The figures of a variety from which seeds, cuttings and trays follow.
SEED_FIGURES = ("seed_kind", "germination", "usable", "rooting", "survival", "female_share")


def hours_for(season: Season, chore: Chore, cohorts: Sequence[Cohort], place: str) -> float:
    """Person-hours of a chore for these cohorts at a place; where plants or area are not known, as the chore says."""
    if chore.per == "place":
        return chore.hours
    return round(sum(_times(season, chore, cohorts, place)) * chore.hours, 2)


def _times(season: Season, chore: Chore, cohorts: Sequence[Cohort], place: str) -> list[float]:
    """How many times the chore's hours are needed."""
    if chore.per == "100 m2" and chore.together and (area := area_of_light_m2(season, place)) is not None:
        return [area / 100]
    return [_times_for_one(season, chore, cohort, place) for cohort in cohorts]


def _times_for_one(season: Season, chore: Chore, cohort: Cohort, place: str) -> float:
    if chore.per in _PLANTS and cohort.plants is not None:
        return cohort.plants / _PLANTS[chore.per]
    if chore.per == "plot":
        return plots_of(season, cohort) or 1.0
    if chore.per == "100 m2":
        # Work in a nursery is for the plants that leave it.
        area = area_of_cohort_m2(season, cohort)
        if area is None:
            area = area_of_light_m2(season, place if place in cohort.growing_lights else cohort.light)
        return 1.0 if area is None else area / 100
    return 1.0


def area_at_spacing_m2(cohort: Cohort) -> float | None:
    """The area that its plants take at its spacing; None without a number of plants or a spacing."""
    if cohort.plants is None or cohort.spacing_m is None:
        return None
    return area_of_plants_m2(cohort.plants, *cohort.spacing_m)


def planted_plots(season: Season, cohort: Cohort) -> list[TrialPlot]:
    """The plots of trials with a known number of a cohort's plants, guards and lost ones too."""
    return [plot for plot in season.plots.values() if plot.cohort == cohort.id and plot.plants]


def area_of_cohort_m2(season: Season, cohort: Cohort) -> float | None:
    """The area of a cohort: of its plots of trials, whatever their spacing, and of the plants besides at its own; None if unknown."""
    plots = planted_plots(season, cohort)
    areas = [season.trials[plot.trial].plot_m2 for plot in plots]
    known = [area for area in areas if area is not None]
    in_plots = sum(plot.plants or 0 for plot in plots)
    if cohort.plants is None or not in_plots or len(known) < len(plots):
        return area_at_spacing_m2(cohort)
    besides = replace(cohort, plants=cohort.plants - in_plots)
    more = area_at_spacing_m2(besides) if cohort.plants > in_plots else 0.0
    return None if more is None else sum(known) + more


def area_of_light_m2(season: Season, light: str) -> float | None:
    """The area of a place, or an equal share of it for a screened part; None where it is not known."""
    place = season.places.get(light) or next((p for p in season.places.values() if light in p.lights), None)
    if place is None or place.area_m2 is None:
        return None
    return place.area_m2 / (1 if light == place.id else len(place.lights))


def amount_for(
    season: Season, chore: Chore, timelines: Sequence[Timeline], known: Mapping[str, float] = {}
) -> str:
    """The quantities that the chore shows, summed over these cohorts, in words; "" where none can be worked out.

    known: by name, those that are worked out already.
    """
    counted = []
    for name in chore.shows:
        count = known[name] if name in known else SHOWN[name](season, *timelines)
        if count is not None:
            counted.append(_count_text(count, name))
    return ", ".join(counted)


def _count_text(count: float, name: str) -> str:
    if name == "kWh":
        return phrase("about {kwh} kWh", kwh=f"{count:.0f}")
    return phrase_n(*count_forms(name), round(count))


def count_forms(name: str) -> tuple[str, str]:
    """How one and how several of a quantity are counted: "{count} tray", "{count} trays"."""
    return f"{{count}} {name[:-1]}", f"{{count}} {name}"


def seeds_of(season: Season, cohort: Cohort) -> int | None:
    """Seeds to sow for a cohort's plants by its variety's shares; None for cuttings, and without a number of plants."""
    variety = season.varieties[cohort.variety]
    if cohort.start != "seed" or cohort.plants is None:
        return None
    female = female_share_of(cohort, variety)
    return seeds_needed(cohort.plants, variety.germination, variety.usable, variety.survival, female)


def female_share_of(cohort: Cohort, variety: Variety) -> float:
    """The share of seedlings that are kept as females: the variety's own figure, else by the seed kind."""
    kind = FEMALE_SHARES[seed_kind(cohort, variety)]
    return kind if variety.female_share is None else variety.female_share


def cuttings_of(season: Season, cohort: Cohort) -> int | None:
    """Cuttings to stick for a cohort's plants; None from seed, and without a number of plants."""
    variety = season.varieties[cohort.variety]
    if cohort.start != "cutting" or cohort.plants is None:
        return None
    return cuttings_needed(cohort.plants, variety.rooting, variety.survival)


def plots_of(season: Season, cohort: Cohort) -> int | None:
    """Plots of trials with a cohort's plants that are still looked at: no guards, none that is lost; None for none."""
    plots = (p for p in season.plots.values() if p.cohort == cohort.id)
    return sum(not plot.is_guard and plot.lost is None for plot in plots) or None


def trays_of(season: Season, cohort: Cohort) -> int | None:
    """Trays for a cohort's seeds or cuttings; None where their number or the trays' cells are not known."""
    cells = cells_of(season, cohort)
    pieces = seeds_of(season, cohort) if cohort.start == "seed" else cuttings_of(season, cohort)
    return None if cells is None or pieces is None else trays(pieces, cells)


def cells_of(season: Season, cohort: Cohort) -> int | None:
    """Cells of a cohort's trays: those of its nursery, else of the season's supplies; None where neither is given."""
    nursery = season.places.get(cohort.nursery or "")
    if nursery is None or nursery.tray_cells is not None or season.supplies is None:
        return None if nursery is None else nursery.tray_cells
    return season.supplies.tray_cells


def lamp_kwh(season: Season, *timelines: Timeline) -> float | None:
    """kWh of the lamps over the evenings for which any of these cohorts asks for them, as planned and without outages.

    None where a cohort asks for none, or the power of its place's lamps is not known.
    """
    evenings: dict[str, set[int]] = {}
    for timeline in timelines:
        asked = _evenings(season, timeline)
        if not asked:
            return None
        for light, days in asked:
            evenings.setdefault(light, set()).update(days)
    return sum(_kwh_of_light(season, light, days) for light, days in evenings.items())


def _evenings(season: Season, timeline: Timeline) -> list[tuple[str, range]]:
    """The evenings for which a cohort asks for the lamps of each place where it grows, from the season's first day on.

    Empty where it asks for none, or the power of some is not known.
    """
    asked = list(own_askings(season, timeline.stays, timeline.stages))
    if "lights_off" not in timeline.stages or None in (_kw(season, light) for light, _ in asked):
        return []
    return [(light, range(_number(season, a.first), _number(season, a.dark))) for light, a in asked]


def _kw(season: Season, light: str) -> float | None:
    place = season.place_of(light)
    return None if place is None or place.lamps is None else place.lamps.kw


def _number(season: Season, day: date) -> int:
    """The day's number, held inside the season."""
    last = (season.last_day - season.first_day).days + 1
    return min(max((day - season.first_day).days, 0), last)


def _kwh_of_light(season: Season, light: str, evenings: set[int]) -> float:
    place = season.place_of(light)
    assert place is not None
    assert place.lamps is not None
    assert place.lamps.kw is not None
    so_far = _lamp_hours(
        season.site,
        season.first_day,
        season.last_day,
        programmes_of(season, place, light),
        timer_follows(place),
    )
    hours = sum(so_far[n + 1] - so_far[n] for n in evenings)
    return hours * place.lamps.kw / len(place.lights)


@lru_cache(maxsize=128)
def _lamp_hours(
    site: Site, first: date, last: date, programmes: tuple[Programme, ...], follows: bool
) -> tuple[float, ...]:
    """Hours that lamps under these programmes burn before each evening from `first` on, were they always asked for."""
    timer, nights = Timer(ZoneInfo(site.timezone), follows), nights_between(site, first, last)
    hours = [0.0] * len(nights)
    for programme in programmes:
        begin, end = (programme.first - first).days, (programme.last - first).days + 1
        for n in range(max(begin, 0), min(end, len(nights))):
            runs = lamp_runs_of(nights[n], programme, timer)
            burning = sum((off - on).total_seconds() for on, off in runs) / 3600
            hours[n] = burning * burning_part(programme.cyclic_min)
    return tuple(accumulate(hours, initial=0.0))


def _summed(count: Callable[[Season, Cohort], float | None]) -> Callable[..., float | None]:
    """The sum of a count over several cohorts; None where one of them has none."""

    def total(season: Season, *timelines: Timeline) -> float | None:
        counts = [count(season, timeline.cohort) for timeline in timelines]
        known = [n for n in counts if n is not None]
        return sum(known) if known and len(known) == len(counts) else None

    return total


def _bags_at_once(season: Season, cohort: Cohort) -> int:
    """The bags of a cohort at one sampling: by the plans that it is in, else as the supplies say."""
    if season.samplings:
        from calendar_tui.planning.sampling.planned import bags_at_once

        if planned := bags_at_once(season, cohort.id):
            return planned
    return (season.supplies or Supplies()).bags_per_sampling


# What is counted of each cohort.
_COUNTED: Mapping[str, Callable[[Season, Cohort], float | None]] = {
    "plants": lambda season, cohort: cohort.plants,
    "seeds": seeds_of,
    "cuttings": cuttings_of,
    "trays": trays_of,
    "bags": _bags_at_once,
    "plots": plots_of,
}
# What each quantity comes to for several cohorts. Lamps that two of them share burn once.
SHOWN: Mapping[str, Callable[..., float | None]] = {
    **{name: _summed(count) for name, count in _COUNTED.items()},
    "kWh": lamp_kwh,
}


def amount_of_cohort(season: Season, chore: Chore | None, cohort: Cohort) -> str:
    """What a chore shows of one cohort, in words; its plants where it shows nothing that is counted of a cohort."""
    names = [name for name in (chore.shows if chore else ()) if name in _COUNTED] or ["plants"]
    counts = {name: _COUNTED[name](season, cohort) for name in names}
    return ", ".join(_count_text(count, name) for name, count in counts.items() if count is not None)
