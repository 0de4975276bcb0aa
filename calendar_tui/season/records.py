"""The immutable records of a season, named as in docs/vocabulary.md.

Dates are local calendar dates, spans are whole days, day lengths are hours.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import TYPE_CHECKING, NamedTuple

from calendar_tui.season import work
from calendar_tui.season.stages import CUT, FIRST

if TYPE_CHECKING:  # few seasons have any of these
    from calendar_tui.season.capacity import Capacity, Draft
    from calendar_tui.season.cutting import Batch, DryingReading, Pass
    from calendar_tui.season.observing import Observation, Variable
    from calendar_tui.season.rules import Lot, Official, Profile
    from calendar_tui.season.sampling import Laboratory, Result, Sample, Sampling
    from calendar_tui.season.spraying import Spray
    from calendar_tui.season.supplies import Stock, Supplies
    from calendar_tui.season.trials import Trial, TrialPlot
    from calendar_tui.season.weather import Heat, Station, StationDays, ThermometerDay

# The records of a season's work have a file of their own, and are found here with the rest.
Chore = work.Chore
Crew = work.Crew
Task = work.Task


class FigureSet(NamedTuple):
    """Figures of the response that go together: day lengths in h, spans in days."""

    critical_h: float
    full_h: float
    juvenile_d: float
    inductive_d: float


class Span(NamedTuple):
    """A duration in days: early <= likely <= late."""

    early: float
    likely: float
    late: float

    @classmethod
    def exactly(cls, figure: float) -> Span:
        """One figure for all three."""
        return cls(figure, figure, figure)


@dataclass(frozen=True, slots=True, kw_only=True)
class Site:
    """monthly_low_c, monthly_high_c: mean daily minimum and maximum of each month, January first, C.

    last_frost: after it frost still comes in 10 % of springs; first_frost: before it frost has come in 10 % of autumns.
    storms_from: the first day on which storms are to be expected.
    """

    latitude: float
    longitude: float
    timezone: str
    day: str = "sunrise-sunset"
    monthly_low_c: tuple[float, ...] | None = None
    monthly_high_c: tuple[float, ...] | None = None
    last_frost: date | None = None
    first_frost: date | None = None
    storms_from: date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Lamps:
    """A place's lamps. extend: up to target_h; night-break and clock: between two times of the local clock.

    cyclic_min: minutes on and off, over a night break, where it does not burn throughout. circuit_v, circuit_a: volts and
    amps of each of the `circuits` that feed them.
    """

    target_h: float | None = None
    method: str = "extend"
    side: str = "after sunset"
    on: dt.time | None = None
    off: dt.time | None = None
    kw: float | None = None
    timer_follows_clock: bool = True
    cost_per_kwh: float | None = None
    cyclic_min: tuple[float, float] | None = None
    circuit_v: float | None = None
    circuit_a: float | None = None
    circuits: int = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Programme:
    """What a place's lamps or covers do on the evenings from `first` to `last`, in place of what its lamps say.

    method: as for lamps, or "blackout": covers lie over the plants from the clock time `on` to `off`.
    """

    place: str
    first: date
    last: date
    method: str = "extend"
    target_h: float | None = None
    side: str = "after sunset"
    on: dt.time | None = None
    off: dt.time | None = None
    cyclic_min: tuple[float, float] | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """screened: the parts it is screened into, each with its own light; an equal share of the lamps hangs in each.

    warmer_c: how much warmer its days and nights are than the site's; held_c: the lowest and highest it is held to.
    pot_l: litres of a pot, where plants grow in pots; trays: how many its benches hold; soil: in words.
    """

    id: str
    kind: str
    name: str = ""
    area_m2: float | None = None
    lamps: Lamps | None = None
    screened: tuple[str, ...] = ()
    warmer_c: float = 0.0
    held_c: tuple[float, float] | None = None
    tray_cells: int | None = None
    pot_l: float | None = None
    trays: int | None = None
    soil: str = ""

    @property
    def holds_pots(self) -> bool:
        """Whether its plants are in pots or trays; in a field or a hoop house they are in the ground, but where it has pots."""
        return self.kind in ("greenhouse", "nursery") or self.pot_l is not None

    @property
    def lights(self) -> tuple[str, ...]:
        """The names of its lights: its own id, or one for each screened part."""
        return tuple(light_name(self.id, part) for part in self.parts)

    @property
    def parts(self) -> tuple[str, ...]:
        """Its screened parts; one without a name where it is not screened."""
        return self.screened or ("",)


def light_name(place: str, part: str = "") -> str:
    """The name of the light of a place, or of one of its screened parts: "H2", "H2 east"."""
    return f"{place} {part}" if part else place


@dataclass(frozen=True, slots=True, kw_only=True)
class Variety:
    """A seed lot or clone line. Days are hours; spans are for plants from seed.

    germination_ch: C x hours over the germination base to half germination; the other _cd are sums of degree-days
    (C x days), used where heat is switched on; None: worked out from the figure in days. female_share: None: by the
    seed kind; fresh_kg_per_plant: what the grower has weighed, nothing assumed; moisture_: shares of water. type: the id
    of that which it starts from, None in files from before there were types; written: the keys that its record gives, but marks;
    sets: equally likely figures that go together, from records, none where there was no fit; before_fit: the figures that
    its record gave before its first fit.
    """

    id: str
    response: str
    type: str | None = None
    critical_day: Span = Span.exactly(14.0)
    full_response_day: Span = Span.exactly(12.5)
    inductive_days: Span = Span(8, 8, 8)
    emergence_d: Span = Span(3, 5, 7)
    rooting_d: Span = Span(14, 18, 21)
    seeding_to_transplant_d: Span = Span(20, 25, 30)
    sticking_to_transplant_d: Span = Span(21, 24, 28)
    juvenile_d: Span = Span(25, 25, 25)
    emergence_to_flowering_d: Span = Span(25, 30, 38)
    induced_to_flowering_d: Span = Span(10, 14, 20)
    flowering_to_harvest_d: Span = Span(38, 45, 54)
    drying_d: Span = Span(7, 10, 14)
    cutting_spread: float = 0.5
    seed_kind: str | None = None
    germination: float = 0.9
    usable: float = 0.92
    rooting: float = 0.8
    survival: float = 0.95
    female_share: float | None = None
    fresh_kg_per_plant: float | None = None
    moisture_fresh: float = 0.75
    moisture_dry: float = 0.10
    germination_ch: Span = Span(694, 694, 694)
    germination_to_emergence_cd: Span = Span(67, 67, 67)
    juvenile_cd: Span | None = None
    emergence_to_flowering_cd: Span | None = None
    induced_to_flowering_cd: Span | None = None
    sets: tuple[FigureSet, ...] = ()
    before_fit: Mapping[str, Span] = field(default_factory=dict)
    marks: Mapping[str, str] = field(default_factory=dict)
    written: frozenset[str] = frozenset()

    def to_transplant_d(self, start: str) -> Span:
        """Days from seeding or sticking to the transplant. start: "seed" or "cutting"."""
        return self.sticking_to_transplant_d if start == "cutting" else self.seeding_to_transplant_d


class WrittenStay(NamedTuple):
    """A stay as a cohort's record has it. begins: a stage or a date; "" of the first stay."""

    place: str
    part: str = ""
    begins: str | date = ""

    @property
    def light(self) -> str:
        """The name of the light there."""
        return light_name(self.place, self.part)


@dataclass(frozen=True, slots=True, kw_only=True)
class Cohort:
    """Plants of one variety started together.

    place, part: where they grow, and where they stood last; nursery: where they are started, if they are transplanted.
    written_stays: where a record gives its stays one by one; place, part and nursery follow from them.
    stays: where it stands, in turn; nursery_stays: how many of them are before its transplant; lights, growing_lights: the names
    of the lights under which it stands, in turn, and under which it grows from its transplant on, or from its start.
    planned: the first intention, never overwritten; replanned: an intention that replaced it;
    recorded: what happened; not_yet: when the plants were last looked at and had not come to a stage.
    forecast: the earliest, likely and latest date of a stage as projected just before it was recorded; forecast_at_start,
    forecast_at_transplant, forecast_at_lights_off: of the stages then to come, as projected just before that record.
    causes: why a stage came on another day than planned, in words.
    flowering_ends: when its flowering ended; harvest_by: the last day that the grower allows for its harvest.
    """

    id: str
    variety: str
    start: str
    place: str = ""
    part: str = ""
    nursery: str | None = None
    written_stays: tuple[WrittenStay, ...] = ()
    plants: int | None = None
    spacing_m: tuple[float, float] | None = None
    planned: Mapping[str, date] = field(default_factory=dict)
    replanned: Mapping[str, date] = field(default_factory=dict)
    recorded: Mapping[str, date] = field(default_factory=dict)
    not_yet: Mapping[str, date] = field(default_factory=dict)
    forecast: Mapping[str, tuple[date, date, date]] = field(default_factory=dict)
    forecast_at_start: Mapping[str, tuple[date, date, date]] = field(default_factory=dict)
    forecast_at_transplant: Mapping[str, tuple[date, date, date]] = field(default_factory=dict)
    forecast_at_lights_off: Mapping[str, tuple[date, date, date]] = field(default_factory=dict)
    causes: Mapping[str, str] = field(default_factory=dict)
    flowering_ends: date | None = None
    harvest_by: date | None = None
    note: str = ""
    stays: tuple[WrittenStay, ...] = field(init=False, compare=False, repr=False)
    nursery_stays: int = field(init=False, compare=False, repr=False)
    lights: tuple[str, ...] = field(init=False, compare=False, repr=False)
    growing_lights: tuple[str, ...] = field(init=False, compare=False, repr=False)

    def __post_init__(self) -> None:
        # Worked out once: whoever lays a season out asks each cohort many times.
        written = self.written_stays
        nurseries = next((n for n, stay in enumerate(written) if stay.begins == "transplant"), 0)
        if written:
            first, last = written[0], written[-1]
            object.__setattr__(self, "place", last.place)
            object.__setattr__(self, "part", last.part)
            object.__setattr__(self, "nursery", first.place if nurseries else None)
        elif self.nursery is None:
            written = (WrittenStay(self.place, self.part),)
        else:
            written = WrittenStay(self.nursery), WrittenStay(self.place, self.part, "transplant")
            nurseries = 1
        lights = [stay.light for stay in written]
        object.__setattr__(self, "stays", written)
        object.__setattr__(self, "nursery_stays", nurseries)
        object.__setattr__(self, "lights", tuple(dict.fromkeys(lights)))
        object.__setattr__(self, "growing_lights", tuple(dict.fromkeys(lights[nurseries:])))

    @property
    def first_stage(self) -> str:
        return FIRST[self.start][0]

    @property
    def flowers_uncut(self) -> bool:
        """Whether it flowered by its records, and neither its harvest nor a stage behind that is recorded."""
        return "flowering" in self.recorded and CUT.isdisjoint(self.recorded)

    @property
    def light(self) -> str:
        """The name of the light under which it grows."""
        return light_name(self.place, self.part)

    @property
    def growing_stays(self) -> tuple[WrittenStay, ...]:
        """Where it stands from its transplant on, or from its start, in turn."""
        return self.stays[self.nursery_stays :]

    def intended(self, stage: str) -> date | None:
        """The date the grower now intends for a stage, or None."""
        return self.replanned.get(stage) or self.planned.get(stage)

    def fixed(self, stage: str) -> date | None:
        """The recorded date of a stage, else the intended one, else None."""
        return self.recorded.get(stage) or self.intended(stage)

    @property
    def planting(self) -> str:
        """The stage at which it is planted where it grows."""
        return "transplant" if self.nursery else self.first_stage


@dataclass(frozen=True, slots=True, kw_only=True)
class Outage:
    """Nights, named by their evening, on which a place's lamps did not burn; both ends count.

    place: its id, or the name of the light of one screened part.
    """

    place: str
    first: date
    last: date


@dataclass(frozen=True, slots=True, kw_only=True)
class Season:
    """weather: the days of its station, where it has one; starter_list: the list of starter chores that was seen last;
    since: the day before which no task is newly made; language: the crew's, such as "es", "" where it is not set;
    units, clock: in which it is shown, "" for what files have.
    """

    name: str
    first_day: date
    last_day: date
    site: Site
    places: Mapping[str, Place]
    varieties: Mapping[str, Variety]
    cohorts: Mapping[str, Cohort]
    chores: Mapping[str, Chore] = field(default_factory=dict)
    tasks: tuple[Task, ...] = ()
    outages: tuple[Outage, ...] = ()
    programmes: tuple[Programme, ...] = ()
    crew: Crew | None = None
    heat: Heat | None = None
    station: Station | None = None
    supplies: Supplies | None = None
    stock: Stock | None = None
    capacity: Capacity | None = None
    drafts: Mapping[str, Draft] = field(default_factory=dict)
    profiles: Mapping[str, Profile] = field(default_factory=dict)
    lots: Mapping[str, Lot] = field(default_factory=dict)
    laboratories: Mapping[str, Laboratory] = field(default_factory=dict)
    samplings: Mapping[str, Sampling] = field(default_factory=dict)
    sprays: Mapping[str, Spray] = field(default_factory=dict)
    samples: Mapping[str, Sample] = field(default_factory=dict)
    results: Mapping[str, Result] = field(default_factory=dict)
    officials: Mapping[str, Official] = field(default_factory=dict)
    passes: Mapping[str, Pass] = field(default_factory=dict)
    batches: Mapping[str, Batch] = field(default_factory=dict)
    readings: Mapping[str, DryingReading] = field(default_factory=dict)
    trials: Mapping[str, Trial] = field(default_factory=dict)
    plots: Mapping[str, TrialPlot] = field(default_factory=dict)
    variables: Mapping[str, Variable] = field(default_factory=dict)
    observations: tuple[Observation, ...] = ()
    thermometer: tuple[ThermometerDay, ...] = ()
    weather: StationDays | None = None
    example_today: date | None = None
    starter_list: int | None = None
    since: date | None = None
    language: str = ""
    units: str = ""
    clock: str = ""

    @property
    def growing_places(self) -> tuple[Place, ...]:
        """The places that are no nursery, in the order of the file."""
        return tuple(place for place in self.places.values() if place.kind != "nursery")

    def place_of(self, light: str) -> Place | None:
        """The place of this id, or the one that has a screened part with a light of this name ("H2 east")."""
        place = self.places.get(light)
        return place or next((p for p in self.places.values() if light in p.lights), None)
