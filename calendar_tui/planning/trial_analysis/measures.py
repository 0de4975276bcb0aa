"""What the plots of a trial were measured by: its variables, days to half of a stage, weights that were cut, results of bags."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from calendar_tui.nature.measured import Interval
from calendar_tui.planning.results.used import Used
from calendar_tui.season.observing import COHORT, COUNT, MARK, NUMBER, PERCENT, SHARE, Variable
from calendar_tui.season.readers import choices
from calendar_tui.season.records import Season
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.trials import SPACING, Trial
from calendar_tui.season.wording import stage_text

# Where its values come from.
OBSERVED, RISEN, CUT, TESTED, SPREAD_OUT = "observed", "risen", "cut", "tested", "spread out"
# How units say that they are of one plant.
_A_PLANT = re.compile(r"(.*\S)\s*(?: a |/| per )\s*plant")
THC, CBD = TOTALS = ("THC", "CBD")


@dataclass(frozen=True, slots=True, kw_only=True)
class Measure:
    """What is analysed. id: as it is typed; name: in words; unit: "" where it has none; scale: what its values are, as of a variable.

    source: OBSERVED: the variable of this id; RISEN: days from planting until half had come to `stage`, by `variable`; CUT: kg of
    `part`, "" for all, that passes of one plot weighed; TESTED: the total of `analyte` in bags of `part`; SPREAD_OUT: the
    variable, which is of one plant, by the plants that the spacing of a plot puts on a square metre.
    is_planned: whether its counts are held against the plants of the plot, and are shares of them.
    """

    id: str
    name: str
    unit: str = ""
    scale: str = NUMBER
    source: str = OBSERVED
    variable: str = ""
    stage: str = ""
    part: str = ""
    analyte: str = ""
    method: str = ""
    definition: str = ""
    is_planned: bool = False

    @property
    def is_words(self) -> bool:
        return self.scale == MARK

    @property
    def is_share(self) -> bool:
        """Whether its values are parts of a whole, from none to all."""
        return self.scale == SHARE or self.is_planned

    @property
    def is_percent(self) -> bool:
        return self.unit.startswith(PERCENT)

    @property
    def is_of_ground(self) -> bool:
        """Whether its values are of a piece of ground, however many plants stand on it."""
        return self.unit.endswith(("/m2", "/ha", " a m2", " per m2", " per ha"))

    @property
    def head(self) -> str:
        """ "height (cm)", "females", "days to flowering (d)"."""
        return f"{self.name} ({self.unit})" if self.unit else self.name


def measures_of(season: Season, trial: Trial, used: Sequence[Used] = ()) -> list[Measure]:
    """What any plot of a trial has a value of, in the order of the variables, then what is worked out of other records.

    used: the results that count, as a plan has them.
    """
    held = [plot for plot in season.plots.values() if plot.trial == trial.id and not plot.is_guard]
    plots = {plot.id for plot in held}
    is_planted = all(plot.plants for plot in held)
    seen = {one.variable for one in season.observations if one.unit in plots and one.value}
    variables = [v for v in season.variables.values() if v.id in seen and v.per != COHORT]
    return [
        *(_observed(v, is_planted) for v in variables),
        *(_spread_out(v) for v in variables if SPACING in trial.factors and _is_of_a_plant(v)),
        *(_risen(v) for v in variables if v.stage),
        *_cut(season, plots),
        *_tested(used, plots),
    ]


def _observed(variable: Variable, is_planted: bool) -> Measure:
    """is_planted: whether each plot says how many plants were planted."""
    is_planned = is_planted and bool(variable.planned) and variable.scale == COUNT
    return Measure(
        id=variable.id,
        name=variable.name or variable.id,
        unit=f"{PERCENT} of planted" if is_planned else variable.unit_text,
        scale=variable.scale,
        variable=variable.id,
        method=variable.method,
        definition=variable.definition,
        is_planned=is_planned,
    )


def _is_of_a_plant(variable: Variable) -> bool:
    return variable.scale == NUMBER and _A_PLANT.fullmatch(variable.unit) is not None


def _spread_out(variable: Variable) -> Measure:
    """What a plant gave as what the ground gave: plants further apart each give more, and are fewer."""
    name, amount = variable.name or variable.id, _A_PLANT.fullmatch(variable.unit)
    return Measure(
        id=f"m2:{variable.id}",
        name=f"{name} of a square metre",
        unit=f"{amount[1] if amount else variable.unit}/m2",
        source=SPREAD_OUT,
        variable=variable.id,
        method=f"{name} of a plant by the plants of a square metre at its spacing, gaps not taken off",
        definition=variable.definition,
    )


def _risen(variable: Variable) -> Measure:
    stage = stage_text(variable.stage)
    return Measure(
        id=f"days:{variable.id}",
        name=f"days from planting to 50 % {stage}",
        unit="d",
        source=RISEN,
        variable=variable.id,
        stage=variable.stage,
        method=f"between the looks around a half of {variable.name or variable.id}",
        definition=variable.definition,
    )


def _cut(season: Season, plots: set[str]) -> Iterator[Measure]:
    """All that was weighed, and each part where there are several."""
    own = [one for one in season.passes.values() if len(one.plots) == 1 and plots.issuperset(one.plots)]
    parts = dict.fromkeys(part for one in own for part in one.fresh_kg)
    if parts:
        yield Measure(id="cut:all", name="fresh weight cut", unit="kg", source=CUT)
    for part in parts if len(parts) > 1 else ():
        yield Measure(id=f"cut:{part}", name=f"fresh weight cut, {part}", unit="kg", source=CUT, part=part)


def _tested(used: Sequence[Used], plots: set[str]) -> Iterator[Measure]:
    """The totals of bags of one plot, by the position on the plants."""
    own = [one for one in used if one.sample.plot in plots]
    for position in dict.fromkeys(one.sample.position for one in own):
        for analyte in TOTALS:
            if any(one.sample.position == position and total_of(one, analyte) is not None for one in own):
                yield Measure(
                    id=f"{analyte}:{position}",
                    name=f"total {analyte}, {position}",
                    unit=PERCENT,
                    source=TESTED,
                    part=position,
                    analyte=analyte,
                    method="bags of one plot",
                )


def total_of(used: Used, analyte: str) -> Interval | None:
    """A total of a result in % of the dry matter; None where it is not known."""
    return used.figures.thc if analyte == THC else used.figures.cbd


def measure_named(season: Season, trial: Trial, name: str, used: Sequence[Used] = ()) -> Measure:
    """The measure that a typed name means. Raises Refusal, with those there are."""
    there = measures_of(season, trial, used)
    typed = name.strip().casefold()
    for one in there:
        if typed in (one.id.casefold(), one.name.casefold()):
            return one
    if not there:
        raise Refusal(f"nothing is recorded in the plots of trial {trial.id} yet")
    if name in season.variables:
        raise Refusal(
            f"{name}: no plot of trial {trial.id} has a value of it; there are {', '.join(m.id for m in there)}"
        )
    raise Refusal(f'"{name}" is not measured in trial {trial.id}{choices(name, [m.id for m in there])}')
