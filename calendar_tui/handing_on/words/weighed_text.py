"""What own weighing shows of a variety, beside what is set, and the commands that would take it over."""

from __future__ import annotations

import shlex
from collections.abc import Iterator

from calendar_tui.nature.quantities import wet_to_dry
from calendar_tui.planning.drying.weighed import Weighed, offers, weighed_of
from calendar_tui.planning.evidence.words import given_text
from calendar_tui.season.field_names import field_words
from calendar_tui.season.measures import as_written, figure, measured, unit_shown
from calendar_tui.season.records import Season, Variety
from calendar_tui.season.wording import number_text


def weighed_text(season: Season, variety: Variety) -> str:
    """ "weighed: 0.42 kg fresh a plant (2 passes), set is 0.35; 4.1 kg fresh to 1 dry, ...; dried in 9 d"; "" for nothing."""
    weighed = weighed_of(season, variety)
    return "" if weighed is None else f"weighed: {'; '.join(_parts(weighed))}"


def _parts(weighed: Weighed) -> Iterator[str]:
    variety = weighed.variety
    if weighed.fresh_kg is not None:
        passes = "1 pass" if weighed.passes == 1 else f"{weighed.passes} passes"
        held = variety.fresh_kg_per_plant
        beside = "none is set" if held is None else f"set is {figure(held, 'kg', as_written)}"
        yield f"{measured(weighed.fresh_kg, 'kg', '{:.3g}'.format)} fresh a plant ({passes}, {weighed.plants} plants), {beside}"
    if weighed.wet_to_dry is not None:
        by_figures = wet_to_dry(variety.moisture_fresh, variety.moisture_dry)
        yield f"{weighed.wet_to_dry:.1f} {unit_shown('kg')} fresh to 1 dry, by its figures {by_figures:.1f}"
    if weighed.moisture_dry is not None:
        yield f"dried to {_percent(weighed.moisture_dry)} water, set is {_percent(variety.moisture_dry)}"
    if weighed.moisture_fresh is not None:
        yield (
            f"if nothing was left out of the dry weight, the fresh crop held {_percent(weighed.moisture_fresh)} water, "
            f"set is {_percent(variety.moisture_fresh)}"
        )
    if weighed.days:
        days = sorted(weighed.days)
        span = f"{days[0]}" if days[0] == days[-1] else f"{days[0]} to {days[-1]}"
        yield f"dried in {span} d, likely is {variety.drying_d.likely:g}"


def _percent(share: float) -> str:
    return f"{number_text(round(100 * share, 1))} %"


def offer_lines(season: Season, variety: Variety) -> Iterator[str]:
    """The commands that would set what was weighed; nothing is set by itself."""
    weighed = weighed_of(season, variety)
    for key, changed in offers(weighed) if weighed is not None else ():
        value = given_text(changed, key) if key == "drying_d" else f"{getattr(changed, key):g}"
        yield f"    take it over: calendar-tui variety {shlex.quote(variety.id)} {field_words('variety', key)} {value} --mark own"
