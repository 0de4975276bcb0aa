"""One lot on a page: the days to cut, what stands beside them, the official sample, what is tried, the rules."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date
from typing import NamedTuple

from calendar_tui.handing_on.words.cautions import cautions
from calendar_tui.handing_on.words.cut_text import beside_texts, end_texts, gain_text
from calendar_tui.handing_on.words.official_text import sample_texts
from calendar_tui.planning.clash import Clash
from calendar_tui.planning.cutting.cutting_work import HAND_H
from calendar_tui.planning.cutting.gains import Gain
from calendar_tui.planning.cutting.made_cuts import of_cuts
from calendar_tui.planning.cutting.windows import AS_IT_IS, LotCut, WhatIf
from calendar_tui.planning.plan import Plan
from calendar_tui.season.lots import rules_reason
from calendar_tui.season.rules import CHECK
from calendar_tui.season.wording import full_day_text

BESIDE = "Ripeness and limit"
NOTHING_TRIED = "nothing is tried"


class Part(NamedTuple):
    """A heading, and the sentences below it."""

    title: str
    texts: Sequence[str]


def lot_parts(
    plan: Plan, cut: LotCut, clashes: Sequence[Clash], what_if: WhatIf, gain: Gain | str | None
) -> Iterator[Part]:
    """The page of a lot; what is tried stands first. clashes: of cuts that are made.

    gain: of what is tried, or why it cannot be; None while it is worked out, or nothing is tried.
    """
    tried = Part("What if", [*_tried(what_if, gain, plan.today)])
    if what_if != AS_IT_IS:
        yield tried
    if cut.done:
        yield Part("Days to cut", [f"{cut.lot.id} is cut; nothing is left to decide"])
    else:
        yield Part("Days to cut", [*end_texts(cut, plan.today)])
        yield Part(BESIDE, [*beside_texts(cut, plan.today), *_harvest(plan, cut)])
    made = [f"! {clash.text}" for clash in of_cuts(clashes, cut.lot)]
    if made:
        yield Part("Cut against the rules", made)
    yield Part("Official sample", [*sample_texts(plan, cut.lot, cut.profile, None)])
    if not cut.done and what_if == AS_IT_IS:
        yield tried
    yield Part("Rules", [*_rules(plan, cut)])


def _harvest(plan: Plan, cut: LotCut) -> Iterator[str]:
    stage = plan.timelines[cut.lot.cohort].stages.get("harvest")
    if stage is not None and stage.likely is not None:
        yield f"harvest of {cut.lot.cohort} {stage.status} {full_day_text(stage.likely)}: {stage.reason}"


def _tried(what_if: WhatIf, gain: Gain | str | None, today: date) -> Iterator[str]:
    parts = []
    if what_if.official is not None:
        parts.append(f"the official sample on {full_day_text(what_if.official)}")
    if what_if.hands is not None:
        parts.append(f"hands: {what_if.hands}, {HAND_H:g} h a day each")
    if what_if.tops_first:
        parts.append("the tops cut first")
    yield "; ".join(parts) or NOTHING_TRIED
    if isinstance(gain, str):
        yield gain
    elif gain is not None:
        yield gain_text(gain, today)


def _rules(plan: Plan, cut: LotCut) -> Iterator[str]:
    reason = rules_reason(plan.season, cut.lot, plan.today)
    if cut.profile is None:
        yield f"none: {reason}; {CHECK}"
    else:
        yield f"{cut.profile.id}: {cut.profile.citation}; {reason}"
        yield from filter(None, (cut.profile.source and f"source: {cut.profile.source}", cut.profile.caution))
    yield cautions("agent", "before a cut", "heat", "aid")
