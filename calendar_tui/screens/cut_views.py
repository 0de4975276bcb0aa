"""The views of results, the day to cut, its rules, what dries, trials with field books, what a season taught; made on demand."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from typing import TYPE_CHECKING, Any

from textual.screen import Screen

from calendar_tui.planning.plan import Plan

if TYPE_CHECKING:
    from calendar_tui.planning.cutting.listing import LotCuts
    from calendar_tui.planning.results.trend import CohortTrend
    from calendar_tui.planning.review.review import Review
    from calendar_tui.screens.trials.analysis_view import Answer
    from calendar_tui.season.rules import Profile


def first_lots(
    plan: Plan, data: Mapping[str, Any], name: str = "", itself: bool = False, marked: Sequence[str] = ()
) -> LotCuts:
    from calendar_tui.screens.cutting.view import first_lots

    return first_lots(plan)


def lots(lots: LotCuts, name: str = "", itself: bool = False, marked: Sequence[str] = ()) -> Screen[Any]:
    from calendar_tui.screens.cutting.view import LotView

    return LotView(lots, name, itself, marked)


def first_rules(plan: Plan, data: Mapping[str, Any]) -> Mapping[str, Profile]:
    from calendar_tui.screens.cutting.rules_view import shipped_profiles

    return shipped_profiles()


def rules(shipped: Mapping[str, Profile]) -> Screen[Any]:
    from calendar_tui.screens.cutting.rules_view import RulesView

    return RulesView(shipped)


def first_trend(plan: Plan, data: Mapping[str, Any], name: str, itself: bool = False) -> CohortTrend | None:
    from calendar_tui.screens.trend.view import first_trend

    return first_trend(plan, name, itself)


def trend(shown: CohortTrend | None, name: str, itself: bool = False) -> Screen[Any]:
    from calendar_tui.screens.trend.view import TrendView

    return TrendView(shown, name)


def trials(trial: str = "") -> Screen[Any]:
    from calendar_tui.screens.trials.view import TrialView

    return TrialView(trial)


def field_book(walk: str | None = None, day: date | None = None, names: Sequence[str] = ()) -> Screen[Any]:
    from calendar_tui.screens.field_book.view import FieldBookView

    return FieldBookView(walk, day, names)


def first_analysis(plan: Plan, data: Mapping[str, Any], trial: str) -> Answer | str:
    from calendar_tui.screens.trials.analysis_view import first_answer

    return first_answer(plan, trial)


def analysis(shown: Answer | str, trial: str) -> Screen[Any]:
    from calendar_tui.screens.trials.analysis_view import AnalysisView

    return AnalysisView(shown, trial)


def drying(cohort_id: str = "") -> Screen[Any]:
    from calendar_tui.screens.drying.view import DryingView

    return DryingView(cohort_id)


def first_review(plan: Plan, data: Mapping[str, Any]) -> Review:
    from calendar_tui.planning.review.review import review_of

    return review_of(plan)


def review(of_season: Review) -> Screen[Any]:
    from calendar_tui.screens.review.view import ReviewView

    return ReviewView(of_season)
