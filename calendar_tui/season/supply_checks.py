"""What must hold of supplies, of stock, of the circuits of lamps, and of a crop's water."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from calendar_tui.season.problems import Problem
from calendar_tui.season.readers import choices
from calendar_tui.season.records import Season


def _stock(season: Season) -> Iterator[Problem]:
    """Seeds and cuttings are of varieties that there are."""
    if season.stock is None:
        return
    for key, held in (("seeds", season.stock.seeds), ("cuttings", season.stock.cuttings)):
        for name in held:
            if name not in season.varieties:
                known = choices(name, season.varieties) if season.varieties else "; there is none yet"
                yield Problem(
                    ("stock", key, name),
                    f'stock: {key} of "{name}", which is not a variety of this season{known}',
                )


def _circuits(season: Season) -> Iterator[Problem]:
    for i, place in enumerate(season.places.values()):
        lamps = place.lamps
        if lamps is None:
            continue
        volts, amps = lamps.circuit_v, lamps.circuit_a
        if (volts is None) != (amps is None):
            there, missing = ("circuit_v", "circuit_a") if amps is None else ("circuit_a", "circuit_v")
            example = "16" if amps is None else "230"
            yield Problem(
                ("place", i, "lamps", there),
                f"place {place.id}: {there} needs {missing} beside it, such as {missing} = {example}, to tell what the "
                f"circuit carries",
            )
        elif lamps.circuits > 1 and volts is None:
            yield Problem(
                ("place", i, "lamps", "circuits"),
                f"place {place.id}: circuits needs circuit_v and circuit_a beside it, such as circuit_v = 230, "
                f"circuit_a = 16",
            )


def _water(season: Season) -> Iterator[Problem]:
    for i, variety in enumerate(season.varieties.values()):
        if variety.moisture_dry > variety.moisture_fresh:
            yield Problem(
                ("variety", i, "moisture_dry"),
                f"variety {variety.id}: moisture_dry {variety.moisture_dry:g} is over moisture_fresh "
                f"{variety.moisture_fresh:g}; a dried crop has the smaller share of water",
            )


SUPPLY_CHECKS: tuple[Callable[[Season], Iterator[Problem]], ...] = (_stock, _circuits, _water)
