"""The table of views: each by its name, made on demand, so that what it needs is loaded only then.

No view knows another: it asks its host to open one by name. What a view needs is handed to `open_view` in the order in
which its maker takes it.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from datetime import date
from typing import TYPE_CHECKING, Any, NamedTuple

from textual.screen import Screen

from calendar_tui.planning.plan import Plan
from calendar_tui.screens.cut_views import (
    analysis,
    drying,
    field_book,
    first_analysis,
    first_lots,
    first_review,
    first_rules,
    first_trend,
    lots,
    review,
    rules,
    trend,
    trials,
)
from calendar_tui.screens.sample_views import bags, first_bags, first_trip, results, trip

if TYPE_CHECKING:
    from calendar_tui.planning.changes.proposal import Proposal
    from calendar_tui.planning.changes.type_comparison import Comparison
    from calendar_tui.planning.lamps.runs import LampSheet
    from calendar_tui.planning.needs.sums import Quantities
    from calendar_tui.planning.refit.fit import Fit
    from calendar_tui.planning.response.outcomes import Curve
    from calendar_tui.planning.staggering.scheme import Scheme
    from calendar_tui.planning.staggering.wish import Wish
    from calendar_tui.planning.today import Today
    from calendar_tui.screens.kit.key import Key
    from calendar_tui.screens.palette.entries import Entry
    from calendar_tui.screens.season.bookmark import Bookmark
    from calendar_tui.storage.upgrading import Upgrade

AnyView = Screen[Any]


class View(NamedTuple):
    """make: the view, of what it needs. first: what it opens with, worked out in a thread so that it is not sent empty,
    of the plan, the data of the file, and what the view needs; it is handed to `make` before that. unplanned: whether it
    opens without a plan too, which is then None.
    """

    make: Callable[..., AnyView]
    first: Callable[..., Any] | None = None
    unplanned: bool = False


def _season(plan: Plan, today: date, bookmark: Bookmark) -> AnyView:
    from calendar_tui.screens.season.view import SeasonView

    return SeasonView(plan, today, bookmark)


def _problems() -> AnyView:
    from calendar_tui.screens.pages.problems_view import ProblemsView

    return ProblemsView()


def _cohort(cohort_id: str) -> AnyView:
    from calendar_tui.screens.pages.cohort_view import CohortView

    return CohortView(cohort_id)


def _why(cohort_id: str) -> AnyView:
    from calendar_tui.screens.pages.why_view import WhyView

    return WhyView(cohort_id)


def _first_today(plan: Plan, data: Mapping[str, Any]) -> Today:
    from calendar_tui.planning.today import today_of

    return today_of(plan)


def _today(waiting: Today) -> AnyView:
    from calendar_tui.screens.week.today_view import TodayView

    return TodayView(waiting)


def _week(day: date | None = None, task: str = "") -> AnyView:
    from calendar_tui.screens.week.view import WeekView

    return WeekView(day, task)


def _load() -> AnyView:
    from calendar_tui.screens.load.view import LoadView

    return LoadView()


def _record(cohort_id: str, others: Sequence[str] = (), stage: str = "") -> AnyView:
    from calendar_tui.screens.asking.record_view import RecordView

    return RecordView(cohort_id, stage, others=tuple(others))


def _outage(cohort_id: str, others: Sequence[str] = ()) -> AnyView:
    from calendar_tui.screens.asking.outage_view import OutageView

    return OutageView(cohort_id, tuple(others))


def _stay(cohort_id: str, others: Sequence[str] = ()) -> AnyView:
    from calendar_tui.screens.asking.stay_view import StayView

    return StayView(cohort_id, tuple(others))


def _spray(cohort_id: str, others: Sequence[str] = (), place: str = "") -> AnyView:
    from calendar_tui.screens.forms.add_view import AddView

    return AddView(cohort_id, "spray", place=place, others=others)


def _first_lamps(plan: Plan, data: Mapping[str, Any], cohort_id: str) -> LampSheet | None:
    from calendar_tui.screens.lamps.view import first_sheet

    return first_sheet(plan, cohort_id)


def _lamps(sheet: LampSheet | None, cohort_id: str) -> AnyView:
    from calendar_tui.screens.lamps.view import LampsView

    return LampsView(cohort_id, sheet)


def _first_quantities(plan: Plan, data: Mapping[str, Any], cohort_id: str) -> Quantities:
    from calendar_tui.planning.needs.sums import quantities

    return quantities(plan, data)


def _quantities(needs: Quantities, cohort_id: str) -> AnyView:
    from calendar_tui.screens.pages.quantities_view import QuantitiesView

    return QuantitiesView(needs, cohort_id)


def _first_response(plan: Plan, data: Mapping[str, Any], cohort_id: str) -> tuple[Curve | None, date]:
    from calendar_tui.screens.response.opening import first_cursor, first_curve

    return first_curve(plan, cohort_id), first_cursor(plan, cohort_id)


def _response(first: tuple[Curve | None, date], cohort_id: str) -> AnyView:
    from calendar_tui.screens.response.view import ResponseView

    return ResponseView(*first, cohort_id)


def _added(scheme: Scheme) -> AnyView:
    from calendar_tui.screens.staggering.added_view import AddedView

    return AddedView(scheme)


def _blocked(texts: Sequence[str], wish: Wish | None, scheme: Scheme | None) -> AnyView:
    from calendar_tui.screens.staggering.blocked_view import BlockedView

    return BlockedView(texts, wish, scheme)


def _first_stagger(plan: Plan, data: Mapping[str, Any], cohort_id: str) -> bool:
    return bool(plan.season.drafts) or not (plan.season.places and plan.season.varieties)


def _stagger(drafts: bool, cohort_id: str) -> AnyView:
    from calendar_tui.screens.staggering.form import StaggerForm
    from calendar_tui.screens.staggering.view import DraftsView

    return DraftsView(cohort_id) if drafts else StaggerForm(cohort_id)


def _varieties(variety: str) -> AnyView:
    from calendar_tui.screens.varieties.view import VarietiesView

    return VarietiesView(variety)


def _first_types(plan: Plan, data: Mapping[str, Any], variety: str) -> Sequence[Comparison]:
    from calendar_tui.screens.varieties.types_view import first_comparison

    return first_comparison(plan, variety)


def _types(compared: Sequence[Comparison], variety: str) -> AnyView:
    from calendar_tui.screens.varieties.types_view import TypesView

    return TypesView(tuple(compared), variety)


def _first_fit(plan: Plan, data: Mapping[str, Any], variety: str) -> Fit | str:
    from calendar_tui.screens.varieties.fit_view import first_fit

    return first_fit(plan, variety)


def _fit(fitted: Fit | str, variety: str) -> AnyView:
    from calendar_tui.screens.varieties.fit_view import FitView

    return FitView(fitted, variety)


def _first_chores(plan: Plan, data: Mapping[str, Any]) -> Mapping[str, int]:
    from calendar_tui.planning.changes.chore_change import tasks_made

    return tasks_made(plan)


def _chores(made: Mapping[str, int]) -> AnyView:
    from calendar_tui.screens.chores.view import ChoresView

    return ChoresView(made)


def _add(cohort_id: str, others: Sequence[str] = ()) -> AnyView:
    from calendar_tui.screens.forms.add_view import AddView

    return AddView(cohort_id)


def _change(cohort_id: str, others: Sequence[str] = ()) -> AnyView:
    from calendar_tui.screens.forms.group_form import change_view

    return change_view((cohort_id, *others))


def _first_take_out(
    plan: Plan, data: Mapping[str, Any], cohort_id: str, others: Sequence[str] = ()
) -> Proposal:
    from calendar_tui.screens.forms.taking_out import taken_out

    return taken_out(plan, data, "cohort", [(name,) for name in (cohort_id, *others)])


def _take_out(proposal: Proposal, cohort_id: str, others: Sequence[str] = ()) -> AnyView:
    from calendar_tui.screens.forms.taking_out import TakeOutView

    return TakeOutView(proposal, "cohort", [(name,) for name in (cohort_id, *others)])


def _editor(cohort_id: str, line: int = 0) -> AnyView:
    from calendar_tui.screens.pages.editor_view import EditorView

    return EditorView(cohort_id, line)


def _farm() -> AnyView:
    from calendar_tui.screens.farm.view import FarmView

    return FarmView()


def _form(kind: str, name: str = "") -> AnyView:
    """The form of a record, or of a new one where it has no name yet."""
    from calendar_tui.screens.forms.add_view import AddView
    from calendar_tui.screens.forms.form_view import FormView
    from calendar_tui.screens.forms.record_forms import changing

    return FormView(changing(kind, (name,))) if name else AddView(kind=kind)


def _take() -> AnyView:
    from calendar_tui.screens.forms.table_form import TableView

    return TableView()


def _steps(proposal: Proposal) -> AnyView:
    from calendar_tui.screens.asking.moves_view import MovesView

    return MovesView.for_refresh(proposal)


def _history() -> AnyView:
    from calendar_tui.screens.history.view import HistoryView

    return HistoryView()


def _print(day: date | None = None) -> AnyView:
    from calendar_tui.screens.pages.print_view import PrintView

    return PrintView(day)


def _help(first: str) -> AnyView:
    from calendar_tui.screens.pages.help_view import HelpView

    return HelpView(first)


def _messages() -> AnyView:
    from calendar_tui.screens.pages.messages_view import MessagesView

    return MessagesView()


def _others(question: str, lines: Sequence[str], yes: str) -> AnyView:
    from calendar_tui.screens.asking.question_view import OthersView

    return OthersView(question, lines, yes)


def _upgrade(upgrade: Upgrade, form: int, what: str) -> AnyView:
    from calendar_tui.screens.pages.upgrade_view import UpgradeView

    return UpgradeView(upgrade, form, what)


def _first_palette(plan: Plan | None, data: Mapping[str, Any], offered: Sequence[Key]) -> Sequence[Entry]:
    from calendar_tui.screens.palette.entries import entries_of

    return entries_of(plan, offered)


def _palette(entries: Sequence[Entry], offered: Sequence[Key]) -> AnyView:
    from calendar_tui.screens.palette.view import PaletteView

    return PaletteView(entries)


VIEWS: Mapping[str, View] = {
    "season": View(_season),
    "problems": View(_problems),
    "cohort": View(_cohort),
    "why": View(_why),
    "today": View(_today, _first_today),
    "week": View(_week),
    "load": View(_load),
    "bags": View(bags, first_bags),
    "trip": View(trip, first_trip),
    "results": View(results),
    "drying": View(drying),
    "record": View(_record),
    "outage": View(_outage),
    "stay": View(_stay),
    "spray": View(_spray),
    "lamps": View(_lamps, _first_lamps),
    "trend": View(trend, first_trend),
    "lot": View(lots, first_lots),
    "rules": View(rules, first_rules),
    "review": View(review, first_review),
    "trials": View(trials),
    "field_book": View(field_book),
    "analysis": View(analysis, first_analysis),
    "quantities": View(_quantities, _first_quantities),
    "response": View(_response, _first_response),
    "added": View(_added),
    "blocked": View(_blocked),
    "stagger": View(_stagger, _first_stagger),
    "varieties": View(_varieties),
    "types": View(_types, _first_types),
    "fit": View(_fit, _first_fit),
    "chores": View(_chores, _first_chores),
    "add": View(_add),
    "change": View(_change),
    "take_out": View(_take_out, _first_take_out),
    "farm": View(_farm),
    "form": View(_form),
    "take": View(_take),
    "editor": View(_editor),
    "steps": View(_steps),
    "history": View(_history),
    "print": View(_print),
    "help": View(_help),
    "palette": View(_palette, _first_palette, unplanned=True),
    "messages": View(_messages),
    "others": View(_others),
    "upgrade": View(_upgrade),
}
