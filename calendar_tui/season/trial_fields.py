"""The fields of trials and their plots. A part of `fields`."""

from __future__ import annotations

from collections.abc import Mapping

from calendar_tui.nature.layouts.designs import DESIGNS, RESTRICTIONS
from calendar_tui.nature.layouts.grid import ACROSS, CORNERS, DIRECTIONS, FRONT_LEFT
from calendar_tui.nature.layouts.plots import ENTRIES, TEST
from calendar_tui.season import readers as r
from calendar_tui.season.field import REQUIRED, Field
from calendar_tui.season.trials import SIDES

_MOST_PLOTS = 100_000
_COUNT = r.whole(1, _MOST_PLOTS)
_NOTE = Field("note", r.words, "", "", "anything")

TRIAL_FIELDS: Mapping[str, tuple[Field, ...]] = {
    "trial": (
        Field("id", r.name_id, REQUIRED, "", "short name"),
        Field("name", r.words, "", "", "longer name"),
        Field("question", r.words, "", "", "what it is to answer"),
        Field("design", r.one_of(*DESIGNS), REQUIRED, "", "how treatments are drawn into plots"),
        Field(
            "factors",
            None,
            None,
            "",
            "its levels; the factor that is hardest to change stands first",
            table="levels",
        ),
        Field(
            "contrasts",
            None,
            None,
            "",
            "comparisons of its levels that are planned",
            table="contrasts_of",
        ),
        Field("blocks", r.whole(1, 50), 4, "", "complete blocks, or replicates; in each place"),
        Field("block_size", r.whole(2, 100), None, "plots", "an incomplete block of an alpha design"),
        Field("checks", r.several_texts, (), "", "the levels that every block of an augmented design has"),
        Field("restriction", r.one_of(*RESTRICTIONS), "", "", "what a draw must keep, settled beforehand"),
        Field("place", r.light_id, "", "place id", "where it grows"),
        Field(
            "places",
            None,
            None,
            "place ids",
            "which places get a level of light, in place of `place`",
            table="places_of",
        ),
        Field(
            "draw_light_among",
            r.several_texts,
            (),
            "place ids",
            "the places among which levels of light are drawn, by the seed; the draw writes `places`",
        ),
        Field(
            "draw_light_levels", r.several_texts, ("lit", "dark"), "", "the levels that are drawn among them"
        ),
        Field("variety", r.name_id, "", "variety id", "of all plots, where it is no factor"),
        Field("date", r.day, None, "date", "of planting, where it is no factor"),
        Field("start", r.one_of("seed", "cutting"), "seed", "", "how cohorts made for it are propagated"),
        Field("nursery", r.name_id, "", "place id", "where cohorts made for it stand until transplant"),
        Field("plot_rows", r.whole(1, 1000), 4, "rows", "of a plot, guards included"),
        Field("row_plants", r.whole(1, 10_000), 9, "plants", "in a row of a plot, guards included"),
        Field(
            "spacing_m", r.two_metres, None, "m", "between rows, in the row; the plot's size follows from it"
        ),
        Field("guard_rows", r.whole(0, 100), 1, "rows", "on each side of a plot, not measured"),
        Field("guard_plants", r.whole(0, 100), 2, "plants", "at each end of a row, not measured"),
        Field("corner", r.one_of(*CORNERS), FRONT_LEFT, "", "where plot 101 lies, seen from the gate"),
        Field(
            "direction",
            r.one_of(*DIRECTIONS),
            ACROSS,
            "",
            "how the first line of plots runs, seen from there",
        ),
        Field("columns", r.whole(1, 1000), None, "plots", "in a line; without it a block is one line"),
        Field("border", r.whole(0, 20), 0, "plots", "lines of guard plots all around"),
        Field("north", r.one_of(*SIDES), "back", "", "the side that lies north, seen from the gate"),
        Field("cv", r.number(0.1, 300), None, "%", "how far plots scatter: standard deviation over mean"),
        Field(
            "seed", r.whole(0, 999_999_999_999), None, "", "any whole number, from which the plots are drawn"
        ),
        _NOTE,
    ),
    "plot": (
        Field("id", r.name_id, REQUIRED, "", "short name"),
        Field("trial", r.name_id, REQUIRED, "trial id", "of which trial"),
        Field("number", _COUNT, None, "", "on its stake; a guard plot has none"),
        Field("block", r.whole(1, 1000), None, "", "in which block"),
        Field("main", r.whole(1, 1000), None, "", "which main plot, incomplete block or strip of the block"),
        Field("sub", r.whole(1, 1000), None, "", "which sub-plot of that, or strip across it"),
        Field("row", r.whole(1, 10_000), REQUIRED, "", "on the ground, the nearest to the gate is 1"),
        Field("column", r.whole(1, 10_000), REQUIRED, "", "on the ground, the leftmost is 1"),
        Field("treatment", None, None, "", "its level", table="level_of"),
        Field("cohort", r.name_id, "", "cohort id", "whose plants stand in it"),
        Field("place", r.light_id, "", "place id", "where it lies"),
        Field("plants", r.whole(0, 10_000_000), None, "plants", "planted, guards included"),
        Field("entry", r.one_of(*ENTRIES), TEST, "", "what it is for"),
        Field("lost", r.day, None, "date", "from when nothing of it counts"),
        Field("why", r.words, "", "", "why it is lost"),
        _NOTE,
    ),
}
