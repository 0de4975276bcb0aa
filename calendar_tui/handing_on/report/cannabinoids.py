"""Cannabinoids by week against the limit, for a growers' page."""

from __future__ import annotations

from collections.abc import Iterator

from calendar_tui.handing_on.paper.trend_page import sampled_lots, trend_svg
from calendar_tui.handing_on.report.parts import Drawing, Listed, Part, Section, Table, numbered, section
from calendar_tui.handing_on.report.subject import Subject
from calendar_tui.handing_on.words.cautions import cautions
from calendar_tui.handing_on.words.plain_text import count_text
from calendar_tui.planning.results.figures import percent_text
from calendar_tui.planning.results.trend import CohortTrend, position_of, trend_of
from calendar_tui.planning.results.used import Used
from calendar_tui.season.wording import year_day_text

_WIDE = 180.0
_OWN_TESTS = cautions("own tests")


def cannabinoids_section(subject: Subject) -> Section:
    """Drawings of lots with three dates or more, and every result that counts."""
    own = {one.cohort.id for one in subject.timelines}
    trends = [trend_of(subject.plan, name) for name in sampled_lots(subject.plan)]
    told = [one for one in trends if one.cohort in own and one.used]
    parts = [part for one in told for part in _lot(one)]
    return section("Cannabinoids by week", parts, "No results of laboratories are recorded.")


def _lot(shown: CohortTrend) -> Iterator[Part]:
    own = position_of(shown.thc, shown.thc.deciding or "top")
    limit = (
        "No limit is set by the season's rules"
        if shown.limit is None
        else f"The dashed line is the limit, {shown.limit:g} %"
    )
    if own is not None:
        yield Drawing(
            f"trend-{shown.lot}",
            trend_svg(shown, own, _WIDE),
            f"{shown.lot}: total THC of the {own.position} by day after 50 % flowering. Dark band: where the crop lies, 90 in 100; pale: "
            f"where a new result would lie. {limit}.",
        )
    ratios = [one.figures.ratio for one in shown.used if one.figures.ratio is not None]
    mean = (
        f" CBD for one of THC: {sum(ratios) / len(ratios):.1f} on the mean of {count_text(len(ratios), 'result')}."
        if ratios
        else ""
    )
    yield Table(
        f"Results of {shown.lot}",
        ("cut", "days after flowering", "position", "plants", "total THC", "total CBD", "CBD : THC"),
        tuple(map(_row, shown.used)),
        f"One bag a row, so there is no SE between bags of one day. Where a part is under the limit of its method, both ends stand.{mean} "
        f"{_OWN_TESTS}",
        numbered(1, 3, 4, 5, 6),
    )
    if aside := [f"Result {one.result.id} does not count: {one.why}." for one in shown.aside]:
        yield Listed(tuple(aside))


def _row(one: Used) -> tuple[str, ...]:
    figures = one.figures
    return (
        year_day_text(one.sample.date),
        str(one.day),
        one.sample.position,
        "" if one.sample.plants is None else str(one.sample.plants),
        figures.thc_text,
        "" if figures.cbd is None else percent_text(figures.cbd),
        "" if figures.ratio is None else f"{figures.ratio:.1f}",
    )
