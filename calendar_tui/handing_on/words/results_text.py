"""Results in words: what is in, by cohort and bag, what is kept aside and why, and what is due."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import groupby

from calendar_tui.handing_on.words.cautions import cautions
from calendar_tui.handing_on.words.plain_text import WIDTH, broken, hanging
from calendar_tui.nature.legal_limits import RELATIVE, Uncertainty
from calendar_tui.nature.measured import ABSOLUTELY_DRY, DRY, Interval
from calendar_tui.planning.plan import Plan
from calendar_tui.planning.results.due import Due, due_results
from calendar_tui.planning.results.figures import USUAL_FACTOR, percent_text
from calendar_tui.planning.results.remarks import remarks_of
from calendar_tui.planning.results.told import found_text
from calendar_tui.planning.results.used import Aside, Used
from calendar_tui.planning.results.varieties import variety_verdicts
from calendar_tui.planning.results.verdicts import verdict_of
from calendar_tui.planning.results.weighted import WeightedMean, weighted_means
from calendar_tui.season.measured_texts import is_below
from calendar_tui.season.sample_ids import grouped
from calendar_tui.season.sampling import Result
from calendar_tui.season.wording import day_text, unit_text, weekday_text

NO_RULES = (
    f"No rules are set: THCA is counted by {USUAL_FACTOR}, as in 7 CFR 990; add those of your authority."
)
CAUTION = cautions("own tests", "agent", "own results", "over", "disposal", "verdicts")


def results_text(plan: Plan) -> list[str]:
    """Every result of the season: those that count, those kept aside, and bags that are out."""
    parts = (
        list(_used_lines(plan)),
        list(_aside_lines(plan.results.aside)),
        list(_due_lines(plan, due_results(plan.season))),
    )
    lines = ["No result is in." if not plan.results.used else "Results that count"]
    lines += parts[0]
    for text in (*weighted_texts(plan), *variety_texts(plan)):
        lines += ["", *hanging(text)]
    for part in parts[1:]:
        lines += ["", *part] if part else []
    for text in rules_texts(plan):
        lines += ["", *hanging(text)]
    return [*lines, "", *hanging(CAUTION)]


def rules_texts(plan: Plan) -> list[str]:
    """The rules by which results are within or over, each with its date; that none are set, where a result has none."""
    verdicts = [verdict_of(plan.season, one, plan.today) for one in plan.results.used]
    dated = sorted({f"Rules: {one.profile.citation}." for one in verdicts if one is not None})
    return [*dated, *([NO_RULES] if None in verdicts else [])]


def weighted_texts(plan: Plan) -> Iterator[str]:
    """Of each lot with results of several positions of one day: their mean by the weight of the parts, as information."""
    return map(weighted_text, weighted_means(plan.season, plan.results.used))


def weighted_text(one: WeightedMean) -> str:
    """ "A1, cut 10 Mar: the mean by weight is 0.282 % (top 0.50, ...); information: the top decides"."""
    shares = ", ".join(f"{position} {share:f}" for position, share in one.shares.items())
    return (
        f"{one.whose}, cut {day_text(one.cut)}: the mean by weight is {percent_text(one.mean)} ({shares} of the fresh weight "
        "of the variety's passes); information: the top decides"
    )


def variety_texts(plan: Plan) -> Iterator[str]:
    """A sentence for each variety that is judged by the mean of its samples, of own tests: the newest of each lot."""
    for one in variety_verdicts(plan.season, plan.results, plan.today):
        mean = "not worked out" if one.mean is None else percent_text(_to_four(one.mean))
        as_written = "" if one.written is None else f", written {one.written:f} %"
        why = f" ({one.why})" if one.why else ""
        after = f": {'; '.join(one.after)}" if one.after else ""
        of = ", ".join(grouped(used.sample.id) for used in one.results)
        yield f"{one.variety}: the mean of the newest result of each lot ({of}) is {mean}{as_written}: {one.verdict}{why}{after}"


def _to_four(mean: Interval) -> Interval:
    """A mean to four decimals, to be read; it is judged as it is."""
    return Interval(round(mean.low, 4), round(mean.high, 4))


def _used_lines(plan: Plan) -> Iterator[str]:
    by_cohort = sorted(plan.results.used, key=lambda one: (one.sample.cohort, one.day, one.sample.position))
    for cohort, several in groupby(by_cohort, key=lambda one: one.sample.cohort):
        yield f"  {cohort}"
        for one in several:
            yield from broken(used_text(plan, one), WIDTH, "      ", "    ")


def used_text(plan: Plan, one: Used) -> str:
    """ "day 14 top 26A-1TA: total THC 0.3131 % +-0.04, within; CBD 4.585 %" """
    figures = one.figures
    assert figures.thc is not None
    total = f"total THC {figures.thc_text}{_uncertainty_text(figures.uncertainty)}"
    verdict = verdict_of(plan.season, one, plan.today)
    parts = [f"{total}, {verdict.verdict}" if verdict else total]
    if verdict and verdict.why:
        parts[0] += f" ({verdict.why})"
    if verdict and verdict.negligence == "over":
        parts.append("over the negligence line")
    if figures.cbd is not None:
        parts.append(f"CBD {percent_text(figures.cbd)}")
    parts += remarks_of(one)
    sample = one.sample
    of = unit_text("", sample.lot, sample.block, sample.plot)
    bag = " ".join(filter(None, (sample.position, of, grouped(sample.id))))
    return f"day {one.day} {bag}, cut {day_text(sample.date)}: {'; '.join(parts)}"


def result_line(plan: Plan, one: Used) -> str:
    """ "0.2456-0.2956 % dry ±0.04, within; THC <0.05; 26A-1TA lab": the total THC, and what of it lies under a limit."""
    figures, verdict = one.figures, verdict_of(plan.season, one, plan.today)
    assert figures.thc is not None
    judged = f", {verdict.verdict}" if verdict else ""
    total = f"{figures.thc_text} {figures.basis}{_uncertainty_text(figures.uncertainty)}{judged}"
    found = one.result.found
    under = [f"{name} {found[name]}" for name in ("THC", "THCA") if is_below(found.get(name, ""))]
    bag = f"{grouped(one.sample.id)} {one.result.laboratory or one.sample.laboratory}".rstrip()
    return "; ".join((total, *under, bag))


def report_text(result: Result) -> str:
    """What is in a report, as it is written there: its figures and limits, its number, method and dates, who found it."""
    limits = [
        f"{name} of {analyte} {figure}"
        for name, table in (
            ("LOD", result.lod),
            ("LOQ", result.loq),
            ("limit", result.limits),
            ("uncertainty", result.uncertainties),
        )
        for analyte, figure in table.items()
    ]
    days = [
        f"{key} {day_text(day)}"
        for key in ("collected", "received", "tested")
        if (day := getattr(result, key)) is not None
    ]
    out = ", which is out already" if result.basis in (DRY, ABSOLUTELY_DRY) else ""
    water = [f"water {result.water} % {result.water_is}{out}"] if result.water else []
    total = [f"its own total {result.total}"] if result.total else []
    report = f"report {result.report} of" if result.report else "report of"
    whose = f"{report} {day_text(result.date)}" + (f" by {result.laboratory}" if result.laboratory else "")
    method = [result.method] if result.method else []
    return ", ".join((f"{found_text(result)} {result.basis}", *water, *total, *limits, whose, *method, *days))


def _uncertainty_text(found: Uncertainty | None) -> str:
    if found is None:
        return ""
    return f" ±{found.amount} % of it" if found.kind == RELATIVE else f" ±{found.amount}"


def _aside_lines(aside: Iterable[Aside]) -> Iterator[str]:
    for n, one in enumerate(aside):
        if n == 0:
            yield "Kept aside, not used"
        yield from hanging(f"  {one.result.id}, report of {day_text(one.result.date)}: {one.why}")


def _due_lines(plan: Plan, due: Iterable[Due]) -> Iterator[str]:
    for n, one in enumerate(due):
        if n == 0:
            yield "Out"
        bag = f"{grouped(one.sample.id)} {unit_text(*one.sample.of.unit)} {one.sample.position}"
        yield f"  {bag}: {due_text(plan, one)}"


def due_text(plan: Plan, one: Due) -> str:
    """ "due Sun 14 Jun, at the latest Tue 16 Jun", or since when it is overdue."""
    if one.is_overdue(plan.today):
        return f"overdue since {weekday_text(one.overdue_since)}: ask the laboratory"
    return f"due {weekday_text(one.likely)}, at the latest {weekday_text(one.latest)}"
