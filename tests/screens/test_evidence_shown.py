"""What a record says about the others: in the cohort view, and before it is saved."""

from __future__ import annotations

from datetime import date

from small_app import SEASON, SmallApp

from calendar_tui.screens.asking.answers import Question, answers
from calendar_tui.screens.asking.moves_view import MovesView
from calendar_tui.screens.pages.cohort_view import CohortView

TODAY = date(2026, 11, 8)
# Seeded on 5 Oct: emergence is projected for 10 Oct.
RECORDED = SEASON.replace(
    "recorded = { seeding = 2026-10-05 }", "recorded = { seeding = 2026-10-05, emergence = 2026-10-13 }"
)


def _words(text: str) -> str:
    return " ".join(text.split())


async def test_the_cohort_view_ends_with_what_its_record_says() -> None:
    view = CohortView("A1")
    app = SmallApp(view, TODAY, RECORDED)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        end = _words(view.text.split("What the records say")[1])
        assert end.startswith("= A1 (amber) emerged 3 d later than projected (13 Oct, projected 10 Oct")
        assert "Seeding to emergence: 8 d against 5 d (emergence time)." in end
        assert end.endswith("To fit all figures to all records of amber: calendar-tui variety amber --fit")
        assert max(map(len, view.text.splitlines())) < 80


async def test_the_cohort_view_of_another_shows_what_it_would_mean_there() -> None:
    view = CohortView("A3")
    app = SmallApp(view, TODAY, RECORDED)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        end = _words(view.text.split("What the records say")[1])
        assert "If A3 does the same: emergence 13 Oct rather than 10 Oct, harvest " in end


async def test_a_cohort_view_without_evidence_has_no_such_heading() -> None:
    view = CohortView("A1")
    app = SmallApp(view, TODAY)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        assert "What the records say" not in view.text


async def test_the_moves_view_says_it_before_it_is_saved() -> None:
    app = SmallApp(CohortView("A1"), TODAY)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        assert app.plan is not None
        asked = Question("A1", "emergence", date(2026, 10, 13))
        view = MovesView(asked, answers(app.plan, asked))
        app.push_screen(view)
        await pilot.pause()
        said = _words(view.text.split("What the record says")[1])
        assert said.startswith("= says about A3: A1 (amber) emerged 3 d later than projected")
        assert app.data["cohort"][0]["recorded"] == {"seeding": date(2026, 10, 5)}
