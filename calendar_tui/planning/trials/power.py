"""What a trial can find, before it is planted: by factor, and of light that its place is the unit."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from calendar_tui.nature.layouts.comparisons import Comparison, comparisons, df_of_places
from calendar_tui.nature.layouts.detectable import smallest_difference
from calendar_tui.planning.trials.layout import wanted_of, with_light
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.trials import LIGHT, Trial

# Where a trial's own scatter is not set: from even to uneven ground (facts of other crops; common practice).
SUPPOSED_CV = (10.0, 20.0, 30.0)


class Finding(NamedTuple):
    """comparison: of what; differences: by CV (%), the smallest difference found in 4 of 5 trials, % of the mean, or None."""

    comparison: Comparison
    differences: tuple[tuple[float, float | None], ...]


class LightUnits(NamedTuple):
    """Light, whose unit is the place: how many places each level has, and the degrees of freedom of its error."""

    places: tuple[tuple[str, int], ...]
    error_df: int


def findings(trial: Trial) -> list[Finding]:
    """What can be found within one of its places. Raises Refusal for what its design cannot have."""
    cvs = SUPPOSED_CV if trial.cv is None else (trial.cv,)
    try:
        compared = comparisons(wanted_of(trial))
    except ValueError as wrong:
        if isinstance(wrong, Refusal):
            raise
        raise Refusal(f"trial {trial.id}: {wrong}") from wrong
    return [
        Finding(one, tuple((cv, smallest_difference(cv, one.plots, one.error_df)) for cv in cvs))
        for one in compared
    ]


def light_units(trial: Trial) -> LightUnits | None:
    """None where light is no factor. Raises Refusal where its places are to be drawn and cannot be."""
    counts = tuple((level, len(lights)) for level, lights in with_light(trial).places.items())
    if len(counts) < 2:
        return None
    return LightUnits(counts, sum(df_of_places(1, count) for _, count in counts))


def finding_texts(trial: Trial) -> list[str]:
    """A sentence for each comparison, and what to know of light."""
    texts = [_finding_text(one) for one in findings(trial)]
    if trial.cv is None:
        texts.append(
            "scatter (CV, %) is not set, so 10, 20 and 30 % are supposed; set it from an earlier trial, such as 15"
        )
    light = light_units(trial)
    if light is None:
        return texts
    places = sum(count for _, count in light.places)
    alone = f"each of these figures is of one place alone; {places} places together find smaller differences within places"
    return [*texts, alone, _light_text(light)]


def _finding_text(finding: Finding) -> str:
    compared = finding.comparison
    if compared.error_df < 1:
        return f"{compared.what}: means and no test, for no degree of freedom is left for the error; more blocks would leave some"
    cvs, figures = zip(
        *((f"{cv:g}", f"{difference or 0:.0f}") for cv, difference in finding.differences), strict=True
    )
    least = " or more" if compared.coarse else ""
    why = "; main plots and strips mostly scatter more" if compared.coarse else ""
    return (
        f"{compared.what}: at CV {_and(cvs)} % a difference of {_and(figures)} % of the mean{least} is found in 4 of 5 such "
        f"trials ({compared.plots:.3g} plot{'s' * (compared.plots != 1)} a mean, error df {compared.error_df}{why})"
    )


def _and(figures: Sequence[str]) -> str:
    return " and ".join(filter(None, (", ".join(figures[:-1]), figures[-1])))


def _light_text(light: LightUnits) -> str:
    places = ", ".join(f"{level} in {count} place{'s' * (count != 1)}" for level, count in light.places)
    unit = f"{LIGHT}: {places}; lamps light a whole place, so the place is its unit, and plots in one place are no replicates of it"
    if light.error_df < 1:
        return f"{unit}: 0 degrees of freedom, so there will be means and no test. What is compared within a place can be tested"
    return f"{unit}: {light.error_df} degree{'s' * (light.error_df != 1)} of freedom for its test"
