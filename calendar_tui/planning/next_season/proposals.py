"""What a review of the old season proposes and the next one has not: figures that stay behind unless somebody takes them first."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from calendar_tui.planning.next_season.varieties import Learnt
from calendar_tui.planning.plan import Plan
from calendar_tui.planning.review.carried import Carried, carried
from calendar_tui.season.field_names import field_words


def open_proposals(plan: Plan, varieties: Sequence[Learnt]) -> Iterator[Carried]:
    """The proposals of a review of which no figure came over. plan: of the old season; varieties: what they learnt of it.

    A fit comes over as a whole: with several seasons its figures are others than those of one alone.
    """
    carried_figures = {
        (one.variety, field_words("variety", figure.key)) for one in varieties for figure in one.figures
    }
    proposed, _ = carried(plan)
    for one in proposed:
        if one.kind != "variety" or carried_figures.isdisjoint(
            (one.name, words) for words, _, _ in one.figures
        ):
            yield one
