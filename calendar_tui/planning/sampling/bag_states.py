"""How planned bags stand: which of them are recorded, sent or lost, and which are still to be cut."""

from __future__ import annotations

from collections.abc import Container, Iterable, Mapping, Sequence
from datetime import date, timedelta
from typing import NamedTuple

from calendar_tui.planning.sampling.planned import PlannedBag
from calendar_tui.season.records import Season
from calendar_tui.season.sampling import BagOf, Sample

LOST, PLANNED = "lost", "planned"


class BagState(NamedTuple):
    """A planned bag, and the one that is recorded for it; None where there is none. A bag that is lost is none."""

    bag: PlannedBag
    sample: Sample | None

    @property
    def is_open(self) -> bool:
        """Whether it is still to be cut: it has no id yet, or one but nothing in it."""
        return self.sample is None or self.sample.state == PLANNED


def bag_states(season: Season, bags: Iterable[PlannedBag]) -> tuple[BagState, ...]:
    """Each planned bag with the recorded one of the same cohort, lot, block, plot and position that is nearest to its day.

    Nearest first, and of two as near the earlier day; each recorded bag stands for one. One that is cut later than that is still
    the bag of its trip where it is near to no other, and the next trip had not come.
    """
    planned = tuple(bags)
    alike: dict[BagOf, list[Sample]] = {}
    for sample in season.samples.values():
        if sample.state != LOST:
            alike.setdefault(sample.of, []).append(sample)
    pairs = [
        (abs((sample.date - bag.day).days), bag.day, n, sample)
        for n, bag in enumerate(planned)
        for sample in alike.get(bag.of, ())
        if abs(sample.date - bag.day) <= timedelta(days=bag.near_d)
    ]
    samples: dict[int, Sample] = {}
    used: set[str] = set()
    for _, _, n, sample in sorted(pairs, key=lambda pair: (*pair[:3], pair[3].id)):
        if n not in samples and sample.id not in used:
            samples[n] = sample
            used.add(sample.id)
    spare = {of: [s for s in there if s.id not in used and s.is_cut] for of, there in alike.items()}
    samples |= _late(planned, samples, spare)
    return tuple(BagState(bag, samples.get(n)) for n, bag in enumerate(planned))


def _late(
    planned: Sequence[PlannedBag],
    samples: Container[int],
    spare: Mapping[BagOf, list[Sample]],
) -> dict[int, Sample]:
    """By the number of a planned bag that nothing stands for, the first of the spare ones cut after it and before the next trip."""
    late_ones: dict[int, Sample] = {}
    until: dict[BagOf, date] = {}
    for n, bag in sorted(enumerate(planned), key=lambda one: one[1].day, reverse=True):
        end = min(until.get(bag.of, date.max), bag.day + timedelta(days=2 * bag.near_d + 1))
        until[bag.of] = bag.day
        late = [s for s in spare.get(bag.of, ()) if bag.day < s.date < end]
        if n not in samples and late:
            late_ones[n] = min(late, key=lambda s: (s.date, s.id))
    return late_ones
