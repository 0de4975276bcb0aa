"""How many plants: in a bag, for the mean of a lot, to meet one over the limit, and to cut of a lot by its acres."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from calendar_tui.handing_on.words.plain_text import hanging
from calendar_tui.nature.sample_sizes import plants_for_error, plants_of_lot, plants_to_meet_one, pooled_cv
from calendar_tui.planning.sampling.week import LABORATORY_CV, SUB_CV

_SPREADS = ((25, "from seed"), (15, "from cuttings"), (8, "an even clone"))
_SIZES = (1, 3, 5, 10, 20)
_MEANS = ((25, 15), (25, 10), (15, 15), (15, 10), (35, 15))
_SHARES = (1, 5, 10)
_ACRES = (11, 20, 50, 173)
_MEMORY = "memory: check with your authority"


def plants_data() -> dict[str, Any]:
    """The same figures: in a bag, the CV of one pooled result; alone, for a mean and to meet one over the limit, in %; of a lot."""
    means = ((cv, error, plants_for_error(cv, error)) for cv, error in _MEANS)
    return {
        "in_a_bag": [
            {"plants_cv": cv, "plants": n, "result_cv": round(pooled_cv(cv, n, SUB_CV, LABORATORY_CV), 2)}
            for cv, _ in _SPREADS
            for n in _SIZES
        ],
        "for_a_mean": [
            {"plants_cv": cv, "within": error, "spread_known": known, "spread_from_them": own}
            for cv, error, (known, own) in means
        ],
        "to_meet_one": [{"over": share, "plants": plants_to_meet_one(share)} for share in _SHARES],
        "of_a_lot": [{"acres": acres, "plants": plants_of_lot(acres), "mark": _MEMORY} for acres in _ACRES],
    }


def plants_lines() -> Iterator[str]:
    """The tables, worked out; the spreads of plants and laboratory are from memory."""
    yield "One pooled result scatters around its lot by so many % (CV), by plants a bag"
    yield f"  {'plants a bag':<24}" + "".join(f"{n:>7}" for n in _SIZES)
    for cv, whose in _SPREADS:
        figures = (pooled_cv(cv, n, SUB_CV, LABORATORY_CV) for n in _SIZES)
        yield f"  {f'{whose}, {cv} %':<24}" + "".join(f"{figure:>7.1f}" for figure in figures)
    two, one = (pooled_cv(25, n, SUB_CV, LABORATORY_CV, bags) for n, bags in ((5, 2), (10, 1)))
    yield from hanging(
        f"  Two bags of 5 beat one of 10 ({two:.1f} against {one:.1f} % from seed) and cost twice. Beyond 10 plants little is won."
    )
    yield ""
    yield "Plants tested one by one for a mean within so many % of the lot's, 95 % sure"
    yield f"  {'plants scatter by':<20}{'within':>7}{'spread known':>14}{'spread from them':>18}"
    for cv, error in _MEANS:
        known, own = plants_for_error(cv, error)
        yield f"  {f'{cv} %':<20}{f'{error} %':>7}{known:>14}{own:>18}"
    yield ""
    yield "Plants tested one by one to meet one over the limit, 95 % sure"
    for share in _SHARES:
        yield f"  {f'where {share} % are over it':<24}{plants_to_meet_one(share):>5}"
    yield from hanging(
        "  Pooling hides such plants: the mean is what is judged. Spreads are from memory; your own results show yours."
    )
    yield ""
    yield "Plants to cut of a lot, as the scheme of the USDA has them for 95 % and 1 %"
    yield f"  ({_MEMORY})"
    for acres in _ACRES:
        yield f"  {f'{acres} acres':<24}{plants_of_lot(acres):>5}"
