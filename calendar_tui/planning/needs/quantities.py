"""What a season needs, cohort by cohort and in all: each amount with its formula, and which figures of it are guesses."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, NamedTuple

from calendar_tui.nature.quantities import plants_per_area, wet_to_dry
from calendar_tui.nature.quantities import trays as trays_for
from calendar_tui.planning.capacity.uses import fresh_kg_each
from calendar_tui.planning.changes.variety_change import figures_of
from calendar_tui.planning.drying.weighed import weighed_of
from calendar_tui.planning.lamps.loads import LampLoad, loads_of_cohort, runs_by_light
from calendar_tui.planning.lamps.runs import LampRun
from calendar_tui.planning.laying_out.timeline import Timeline
from calendar_tui.planning.plan import Plan
from calendar_tui.planning.tasks.amounts import (
    area_of_cohort_m2,
    area_of_light_m2,
    cells_of,
    cuttings_of,
    female_share_of,
    planted_plots,
    seeds_of,
)
from calendar_tui.planning.tasks.samplings import bags_by_day, is_in_plan
from calendar_tui.season.fields import FIELDS
from calendar_tui.season.marks import SUPPLY_MARKS
from calendar_tui.season.measures import area_text, as_written, figure, measured, spacing_text, unit_shown
from calendar_tui.season.records import Cohort, Season
from calendar_tui.season.supplies import Supplies
from calendar_tui.season.units_in_use import is_us
from calendar_tui.season.wording import day_text, night_count_text, number_text

HECTARE_M2 = 10_000.0
# 43,560 square feet; a foot is 0.3048 m exactly.
ACRE_M2 = 43_560 * 0.3048**2
SUPPLIES = "supplies"


class Guess(NamedTuple):
    """A figure with nothing behind it. of: a variety, or "supplies"."""

    of: str
    key: str


@dataclass(frozen=True, slots=True)
class Amount:
    """How much of one thing a cohort needs.

    item: what, "seeds"; of: the place of lamps, or ""; count in `unit`; how: its formula with its figures, guesses
    with a ~; guesses: the figures it rests on that are guesses.
    """

    item: str
    count: float
    unit: str
    how: str
    guesses: tuple[Guess, ...] = ()
    of: str = ""


@dataclass(frozen=True, slots=True)
class CohortAmounts:
    """What one cohort needs; notes: sentences on what could not be worked out."""

    timeline: Timeline
    amounts: tuple[Amount, ...]
    notes: tuple[str, ...]

    @property
    def cohort(self) -> Cohort:
        return self.timeline.cohort

    def find(self, item: str) -> Amount | None:
        return next((a for a in self.amounts if a.item == item), None)


class Basis(NamedTuple):
    """What amounts are worked out from. guesses: by variety, its figures that are; runs: of the lamps of each light.

    unit_area: its name and its m2, for the number of plants to it.
    """

    plan: Plan
    supplies: Supplies
    guessed_supplies: frozenset[str]
    guesses: Mapping[str, frozenset[str]]
    runs: Mapping[str, Sequence[LampRun]]
    unit_area: tuple[str, float]

    @property
    def season(self) -> Season:
        return self.plan.season


def basis_of(plan: Plan, data: Mapping[str, Any], acres: bool = False) -> Basis:
    """data: of the season file, which tells which figures are its own. Not for the event loop: lamps take a while."""
    season = plan.season
    return Basis(
        plan,
        season.supplies or Supplies(),
        _guessed_supplies(season, data),
        {v.id: frozenset(f.key for f in figures_of(v, data) if f.guess) for v in season.varieties.values()},
        runs_by_light(season, plan.light),
        ("acre", ACRE_M2) if acres or is_us() else ("ha", HECTARE_M2),
    )


def _guessed_supplies(season: Season, data: Mapping[str, Any]) -> frozenset[str]:
    given = data.get("supplies", {})
    marks = season.supplies.marks if season.supplies else {}
    known = [f.key for f in FIELDS["supplies"] if f.read is not None]
    marked = {key: marks.get(key, "" if key in given else SUPPLY_MARKS[key]) for key in known}
    return frozenset(key for key, mark in marked.items() if mark == "placeholder")


def amounts_of(basis: Basis, timeline: Timeline) -> CohortAmounts:
    """Everything that one cohort needs."""
    notes = tuple(_missing_texts(basis.season, timeline))
    amounts = [*_room(basis, timeline.cohort), *_started(basis, timeline.cohort)]
    amounts += _lamps(basis, timeline.cohort)
    amounts += _bags(basis, timeline)
    by_item = {a.item: a for a in amounts}
    if timeline.cohort.nursery is None or "trays" in by_item:
        amounts += _labels(basis, timeline.cohort, by_item.get("trays"), by_item.get("bags"))
    amounts += _crop(basis, timeline.cohort)
    return CohortAmounts(timeline, tuple(amounts), notes)


def _missing_texts(season: Season, timeline: Timeline) -> Iterator[str]:
    cohort = timeline.cohort
    if cohort.plants is None:
        yield (
            f"{cohort.id} has no number of plants: what follows from it is left out here and in the sums; set them, such as 100"
        )
    if cohort.spacing_m is None and area_of_cohort_m2(season, cohort) is None:
        yield (
            f"{cohort.id} has no spacing: its area, and what fits, are not worked out; set it, such as 1.5x0.6 m "
            "(between rows x in the row)"
        )
    for place in dict.fromkeys(stay.place for stay in cohort.growing_stays):
        if season.places[place].area_m2 is None:
            yield f"{place} has no area: what fits is not worked out; set it, such as 180 m2"
    if "sampling" not in timeline.stages:
        yield f"{cohort.id} has no sampling dates, so no bags"


# --- room


def _room(basis: Basis, cohort: Cohort) -> Iterator[Amount]:
    if cohort.plants is not None:
        yield Amount("plants", cohort.plants, "plants", _plants_text(basis.season, cohort))
    area = area_of_cohort_m2(basis.season, cohort)
    if area is not None:
        yield Amount("area", area, "m2", f"{_area_text(basis.season, cohort)} = {area_text(area)}")
    if cohort.spacing_m is None:
        return
    rows_m, in_row_m = cohort.spacing_m
    spacing = spacing_text(rows_m, in_row_m)
    for light in cohort.growing_lights:
        if (light_m2 := area_of_light_m2(basis.season, light)) is None:
            continue
        fit = plants_per_area(light_m2, rows_m, in_row_m)
        how = f"{area_text(light_m2)} of {light} / ({spacing}) = {fit} plants"
        if cohort.plants is not None and cohort.plants > fit:
            how += f", {cohort.plants - fit} fewer than wanted"
        yield Amount("fit", fit, "plants", how)
    unit, unit_m2 = basis.unit_area
    density = plants_per_area(unit_m2, rows_m, in_row_m)
    how = f"{figure(unit_m2, 'm2', '{:.0f}'.format)} {unit_shown('m2')} / ({spacing}) = {density} plants"
    yield Amount(f"per {unit}", density, "plants", how)


def _plants_text(season: Season, cohort: Cohort) -> str:
    """ "wanted", "108 in 3 plots", "288 in 12 plots, 12 besides"."""
    counts = [plot.plants or 0 for plot in planted_plots(season, cohort)]
    if not counts or cohort.plants is None:
        return "wanted"
    besides, short = cohort.plants - sum(counts), sum(counts) - cohort.plants
    more = f", {besides} besides" if besides > 0 else f", {short} more than there are" if short > 0 else ""
    return f"{sum(counts)} in {len(counts)} plot{'s' * (len(counts) > 1)}{more}"


def _area_text(season: Season, cohort: Cohort) -> str:
    """ "120 x 1.5 m x 0.6 m", "12 plots x 32.4 m2 + 12 x 1.5 m x 0.6 m"."""
    plots = planted_plots(season, cohort)
    sizes = Counter(season.trials[plot.trial].plot_m2 for plot in plots)
    parts = [
        f"{count} plot{'s' * (count > 1)} x {area_text(size)}"
        for size, count in sizes.items()
        if size is not None
    ]
    besides = (cohort.plants or 0) - sum(plot.plants or 0 for plot in plots)
    if cohort.spacing_m is not None and (besides > 0 or not parts or None in sizes):
        rows_m, in_row_m = cohort.spacing_m
        parts = [] if None in sizes else parts
        parts.append(f"{besides if parts else cohort.plants} x {spacing_text(rows_m, in_row_m)}")
    return " + ".join(parts)


# --- seeds, cuttings, trays, media


def _started(basis: Basis, cohort: Cohort) -> Iterator[Amount]:
    pieces = _cuttings(basis, cohort) if cohort.start == "cutting" else _seeds(basis, cohort)
    if pieces is None:
        return
    yield pieces
    nursery = basis.season.places.get(cohort.nursery or "")
    trays = None
    if nursery is not None:
        trays = _trays(basis, cohort, pieces)
        yield trays
    yield from _media(basis, cohort, trays)


def _seeds(basis: Basis, cohort: Cohort) -> Amount | None:
    count = seeds_of(basis.season, cohort)
    return (
        None
        if count is None
        else _shared(basis, cohort, "seeds", count, ("germination", "usable", "survival"))
    )


def _cuttings(basis: Basis, cohort: Cohort) -> Amount | None:
    count = cuttings_of(basis.season, cohort)
    return None if count is None else _shared(basis, cohort, "cuttings", count, ("rooting", "survival"))


def _shared(basis: Basis, cohort: Cohort, item: str, count: int, keys: Sequence[str]) -> Amount:
    """Plants over the product of shares."""
    variety = basis.season.varieties[cohort.variety]
    guessed = basis.guesses[variety.id]
    shares = [(getattr(variety, key), key in guessed, key) for key in keys]
    if item == "seeds":
        unset = variety.seed_kind is None and variety.female_share is None
        name = "seed_kind (taken as feminised)" if unset else "female_share"
        shares.append((female_share_of(cohort, variety), unset or "female_share" in guessed, name))
    product = " x ".join(_share_text(share, guess) for share, guess, _ in shares)
    guesses = tuple(Guess(variety.id, name) for _, guess, name in shares if guess)
    return Amount(item, count, item, f"{cohort.plants} / ({product}) = {count} {item}", guesses)


def _share_text(share: float, guess: bool) -> str:
    exact = f"{share:.2f}" if round(share, 2) == share else f"{share:g}"
    return f"~{exact}" if guess else exact


def _trays(basis: Basis, cohort: Cohort, pieces: Amount) -> Amount:
    cells = cells_of(basis.season, cohort) or basis.supplies.tray_cells
    nursery = basis.season.places[cohort.nursery or ""]
    guesses = pieces.guesses
    guess = nursery.tray_cells is None and "tray_cells" in basis.guessed_supplies
    if guess:
        guesses = (*guesses, Guess(SUPPLIES, "tray_cells"))
    count = trays_for(int(pieces.count), cells)
    how = f"{_figure(pieces)} / {'~' if guess else ''}{cells} cells = {count} tray{'' if count == 1 else 's'}"
    return Amount("trays", count, "trays", how, guesses)


def _media(basis: Basis, cohort: Cohort, trays: Amount | None) -> Iterator[Amount]:
    litres, parts, guesses = 0.0, list[str](), tuple[Guess, ...]()
    if trays is not None:
        each, guess = basis.supplies.media_l_per_tray, "media_l_per_tray" in basis.guessed_supplies
        litres += trays.count * each
        parts.append(f"{_counted(trays)} x {'~' if guess else ''}{measured(each, 'L', as_written)}")
        guesses = (*trays.guesses, *((Guess(SUPPLIES, "media_l_per_tray"),) if guess else ()))
    # Plants are potted once, and carried in their pots.
    grown = (basis.season.places[stay.place].pot_l for stay in cohort.growing_stays)
    pot_l = next((litres for litres in grown if litres is not None), None)
    if pot_l is not None and cohort.plants is not None:
        litres += cohort.plants * pot_l
        parts.append(f"{cohort.plants} pots x {measured(pot_l, 'L', as_written)}")
    if parts:
        yield Amount("media", litres, "L", f"{' + '.join(parts)} = {measured(litres, 'L')}", guesses)


def _figure(amount: Amount) -> str:
    return f"{'~' if amount.guesses else ''}{number_text(amount.count)}"


def _counted(amount: Amount) -> str:
    """ "1 tray", "~3 trays"."""
    return f"{_figure(amount)} {amount.unit[:-1] if amount.count == 1 else amount.unit}"


# --- lamps, bags, labels


def _lamps(basis: Basis, cohort: Cohort) -> Iterator[Amount]:
    for load in loads_of_cohort(basis.season, basis.plan.light, cohort.id, basis.runs):
        count, unit = (load.h, "h") if load.kwh is None else (load.kwh, "kWh")
        yield Amount("lamps", count, unit, lamp_load_text(load), (), load.light)


def lamp_load_text(load: LampLoad) -> str:
    """ "0.9 kW x 310.5 h in 80 nights, 30 Oct - 19 Jan; cost 55.89"."""
    power = "power not set" if load.kw is None else f"{load.kw:g} kW"
    cost = "" if load.cost is None else f"; cost {load.cost:.2f}"
    when = f"{night_count_text(load.nights)}, {day_text(load.first)} - {day_text(load.last)}"
    times = "," if load.kw is None else " x"
    return f"{power}{times} {load.h:.1f} h in {when}{cost}"


def _bags(basis: Basis, timeline: Timeline) -> Iterator[Amount]:
    if "sampling" not in timeline.stages:
        return
    by_day = bags_by_day(basis.season, timeline)
    if is_in_plan(basis.season, timeline.cohort.id):
        count = sum(by_day.values())
        how = f"{len(by_day)} samplings of its plan = {count} bags"
        yield Amount("bags", count, "bags", how)
        return
    times, each = len(by_day) or 1, basis.supplies.bags_per_sampling
    guess = "bags_per_sampling" in basis.guessed_supplies
    how = f"{times} samplings x {'~' if guess else ''}{each} bags = {times * each} bags"
    yield Amount("bags", times * each, "bags", how, (Guess(SUPPLIES, "bags_per_sampling"),) if guess else ())


def _labels(basis: Basis, cohort: Cohort, trays: Amount | None, bags: Amount | None) -> Iterator[Amount]:
    supplies, guessed = basis.supplies, basis.guessed_supplies
    keys = ("labels_per_tray", "labels_per_cohort") if trays else ("labels_per_cohort",)
    guesses = [Guess(SUPPLIES, key) for key in keys if key in guessed]
    on_plot = f"{'~' if 'labels_per_cohort' in guessed else ''}{supplies.labels_per_cohort} on the plot"
    count, parts = float(supplies.labels_per_cohort), [on_plot]
    if trays is not None:
        count += trays.count * supplies.labels_per_tray
        mark = "~" if "labels_per_tray" in guessed else ""
        parts.insert(0, f"{_counted(trays)} x {mark}{supplies.labels_per_tray}")
        guesses += trays.guesses
    own = (plot for plot in basis.season.plots.values() if plot.cohort == cohort.id)
    if stakes := sum(not plot.is_guard for plot in own):
        count += stakes
        parts.append(f"{stakes} stake{'s' * (stakes > 1)}")
    if bags is not None:
        count += bags.count
        parts.append(_counted(bags))
        guesses += bags.guesses
    yield Amount(
        "labels",
        count,
        "labels",
        f"{' + '.join(parts)} = {number_text(count)}",
        tuple(dict.fromkeys(guesses)),
    )


# --- the crop


def _crop(basis: Basis, cohort: Cohort) -> Iterator[Amount]:
    """Fresh and dry crop, only from the grower's own weighing of a plant."""
    variety = basis.season.varieties[cohort.variety]
    each = fresh_kg_each(basis.season, variety)
    if cohort.plants is None or each is None:
        return
    guessed = basis.guesses[variety.id]
    fresh_guess = tuple(Guess(variety.id, k) for k in ("fresh_kg_per_plant",) if k in guessed)
    fresh = cohort.plants * each
    mark = "~" if fresh_guess else ""
    by = "" if variety.fresh_kg_per_plant else ", as weighed"
    how = f"{cohort.plants} x {mark}{measured(each, 'kg', as_written)}{by} = {measured(fresh, 'kg')}"
    yield Amount("fresh crop", fresh, "kg", how, fresh_guess)
    weighed = weighed_of(basis.season, variety)
    if weighed is not None and (own := weighed.wet_to_dry) is not None:
        batches = "1 batch" if weighed.batches == 1 else f"{weighed.batches} batches"
        sum_text = f"{mark}{measured(fresh, 'kg')} / {own:.2f} = {measured(fresh / own, 'kg')}"
        how = f"{sum_text}; {own:.1f} {unit_shown('kg')} fresh to 1 dry as weighed, {batches}"
        yield Amount("dry crop", fresh / own, "kg", how, fresh_guess)
        return
    ratio = wet_to_dry(variety.moisture_fresh, variety.moisture_dry)
    water = {key: key in guessed for key in ("moisture_dry", "moisture_fresh")}
    dry, wet = (_share_text(getattr(variety, key), guess) for key, guess in water.items())
    sum_text = f"{mark}{measured(fresh, 'kg')} x (1 - {wet}) / (1 - {dry}) = {measured(fresh / ratio, 'kg')}"
    how = f"{sum_text}; {ratio:.1f} {unit_shown('kg')} fresh to 1 dry"
    guesses = (*fresh_guess, *(Guess(variety.id, key) for key, guess in water.items() if guess))
    yield Amount("dry crop", fresh / ratio, "kg", how, guesses)
