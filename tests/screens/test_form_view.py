"""A form of fields: typed in where they stand, completed, refused beside the field, previewed, and saved after a look."""

from __future__ import annotations

import re
from datetime import date
from threading import current_thread
from typing import Any

import pytest
from settling import settled
from small_app import SEASON, SmallApp
from textual.pilot import Pilot

from calendar_tui.screens.asking.moves_view import MovesView
from calendar_tui.screens.forms.copy_form import copying
from calendar_tui.screens.forms.form_view import FormView
from calendar_tui.screens.forms.record_forms import adding, changing

TODAY = date(2026, 10, 20)


def _app(blank: Any, text: str = SEASON, today: date = TODAY) -> tuple[SmallApp, FormView]:
    view = FormView(blank)
    return SmallApp(view, today, text), view


def _line(view: FormView, words: str) -> str:
    return next(line for line in view.text.splitlines() if line.startswith(words))


async def _to(view: FormView, pilot: Pilot[None], words: str) -> None:
    """Put the cursor into this field, by keys."""
    for _ in view._list.fields:
        if view.field == words:
            return
        await pilot.press("down")
    assert view.field == words


async def _type(pilot: Pilot[None], text: str) -> None:
    await pilot.press(*("space" if c == " " else c for c in text))


async def test_a_cohort_like_this_one_a_fortnight_later_is_saved_with_two_keys() -> None:
    app, view = _app(copying("A1"), today=date(2026, 10, 19))
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        assert view.value("id") == "A2"
        assert view.value("days later") == "14"
        assert view.value("transplant") == "13 Nov 2026"
        await pilot.press("ctrl+s")
        moves = await settled(app, pilot)
        assert isinstance(moves, MovesView)
        assert "Nothing is saved yet." in moves.text
        assert not app.saved
        await pilot.press("enter")
        await settled(app, pilot)
        made = app.data["cohort"][-1]
        assert made["id"] == "A2"
        assert made["planned"] == {
            "seeding": date(2026, 10, 19),
            "transplant": date(2026, 11, 13),
            "lights_off": date(2027, 1, 3),
        }
        assert "recorded" not in made


async def test_a_copy_is_proposed_fortnights_later_at_the_first_start_that_is_not_past() -> None:
    app, view = _app(copying("A1"), today=date(2026, 11, 3))
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        assert view.value("days later") == "42"
        assert view.value("seeding") == "16 Nov 2026"
        await _to(view, pilot, "how many")
        await _type(pilot, "2")
        await pilot.press("ctrl+s", "enter")
        await settled(app, pilot)
        made = [c["planned"]["seeding"] for c in app.data["cohort"] if c["id"] not in ("A1", "A3")]
        assert made == [date(2026, 11, 16), date(2026, 11, 30)]


@pytest.mark.slow
async def test_a_copy_typed_for_a_day_that_is_past_is_saved_only_upon_y() -> None:
    app, view = _app(copying("A1"))
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        await _to(view, pilot, "seeding")
        await _type(pilot, "9 oct")
        await pilot.press("ctrl+s")
        await settled(app, pilot)
        await pilot.press("enter")
        await settled(app, pilot)
        await pilot.press("enter")
        await settled(app, pilot)
        assert not app.saved
        await pilot.press("y")
        await settled(app, pilot)
        assert len(app.saved) == 1


async def test_the_dates_follow_an_interval_that_is_typed() -> None:
    app, view = _app(copying("A1"))
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        await pilot.press("down")
        await _type(pilot, "3 w")
        await settled(app, pilot)
        assert view.value("transplant") == "20 Nov 2026"
        assert "21 days" in _line(view, "days later")


async def test_the_interval_follows_a_date_that_is_typed() -> None:
    app, view = _app(copying("A1"))
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        await _to(view, pilot, "transplant")
        await _type(pilot, "9 nov")
        await settled(app, pilot)
        assert "Mon 9 Nov 2026" in _line(view, "transplant")
        assert view.value("days later") == "10"
        assert view.value("lights off") == "30 Dec 2026"


async def test_three_copies_every_ten_days_are_one_change() -> None:
    app, _ = _app(copying("A1"))
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        await pilot.press("down")
        await _type(pilot, "10")
        await pilot.press("enter")
        await _type(pilot, "3")
        await pilot.press("ctrl+s")
        await settled(app, pilot)
        await pilot.press("enter")
        await settled(app, pilot)
        assert len(app.saved) == 1
        new = [c for c in app.data["cohort"] if c["id"] not in ("A1", "A3")]
        assert [c["planned"]["seeding"].day for c in new] == [15, 25, 4]


async def test_what_moves_is_shown_below_while_it_is_typed() -> None:
    app, view = _app(changing("cohort", ("A1",)))
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        assert "->" not in view.text
        await _to(view, pilot, "transplant")
        await _type(pilot, "8 nov")
        await settled(app, pilot)
        assert "transplant 30 Oct -> 8 Nov +9 d" in " ".join(view.text.split())
        assert "Nothing is saved yet." in view.text
        assert not app.saved


async def test_of_what_is_typed_quickly_only_the_last_is_worked_out(monkeypatch: pytest.MonkeyPatch) -> None:
    from calendar_tui.screens.forms import form_view

    worked: list[dict[str, str]] = []
    threads: set[object] = set()
    real = form_view.filled

    def counted(blank: Any, held: Any, typed: Any) -> Any:
        worked.append(dict(typed))
        threads.add(current_thread())
        return real(blank, held, typed)

    monkeypatch.setattr(form_view, "filled", counted)
    app, view = _app(changing("cohort", ("A1",)))
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        await _to(view, pilot, "plants")
        latest = view._latest
        assert latest is not None
        before = len(worked)
        with latest._lock:  # as if a long piece of work ran: nothing new begins
            latest._runs = True
        await _type(pilot, "1250")
        assert len(worked) == before
        latest._runs = False
        view._look()
        await settled(app, pilot)
        assert worked[before:] == [{"plants": "1250"}]
        assert current_thread() not in threads


@pytest.mark.slow
@pytest.mark.parametrize(
    ("field", "typed", "right"),
    [
        ("variety", "ambr", "amber"),
        ("place", "H9", "is not a place of this season"),
        ("plants", "many", "whole number"),
        ("transplant", "31 feb", "is not a date"),
        ("spacing", "wide", "metres between rows"),
    ],
)
async def test_what_is_wrong_stands_beside_its_field_as_soon_as_it_is_typed(
    field: str, typed: str, right: str
) -> None:
    app, view = _app(changing("cohort", ("A1",)))
    async with app.run_test(size=(120, 30)) as pilot:
        await settled(app, pilot)
        await _to(view, pilot, field)
        await _type(pilot, typed)
        await settled(app, pilot)
        assert right in _line(view, field)
        assert "_" not in view.text.replace(typed, "")
        await pilot.press("ctrl+s")
        assert await settled(app, pilot) is view
        assert not app.saved


async def test_a_name_is_completed_with_tab_and_with_right() -> None:
    text = SEASON.replace(
        '[[chore]]\nid = "lamps-off"',
        '[[variety]]\nid = "brook"\nresponse = "short-day"\n[[chore]]\nid = "lamps-off"',
    )
    app, view = _app(changing("cohort", ("A1",)), text)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        await _to(view, pilot, "variety")
        for key in ("tab", "right"):
            await pilot.press("ctrl+u")
            await _type(pilot, "br")
            await pilot.press(key)
            assert (view.field, view.value("variety")) == ("variety", "brook")
        await pilot.press("pagedown")
        assert view.value("variety") == "amber"


@pytest.mark.slow
@pytest.mark.parametrize("length", ["13:50", "13h50", "13 h 50"])
async def test_a_day_length_is_typed_in_any_way(length: str) -> None:
    app, view = _app(changing("variety", ("amber",)))
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        await _to(view, pilot, "critical day")
        await _type(pilot, length)
        await settled(app, pilot)
        assert "13 h 50" in _line(view, "critical day")
        await pilot.press("ctrl+s")
        await settled(app, pilot)
        await pilot.press("enter")
        await settled(app, pilot)
        assert app.data["variety"][0]["critical_day"] == "13:50"


async def test_what_a_new_place_lacks_is_told_at_its_field_once_it_is_to_be_saved() -> None:
    app, view = _app(adding("place"))
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        assert "needed" not in view.text
        await pilot.press("ctrl+s")
        await settled(app, pilot)
        await _type(pilot, "H3")
        await pilot.press("ctrl+s")
        assert await settled(app, pilot) is view
        assert view.field == "kind"
        assert "it is needed" in view.text
        await _type(pilot, "ho")
        await pilot.press("enter")
        await pilot.press("ctrl+s")
        await settled(app, pilot)
        await pilot.press("enter")
        await settled(app, pilot)
        assert app.data["place"][-1] == {"id": "H3", "kind": "hoop house"}


async def test_esc_leaves_what_is_typed_only_when_asked_twice() -> None:
    app, view = _app(changing("cohort", ("A1",)))
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        await _to(view, pilot, "plants")
        await _type(pilot, "99")
        await pilot.press("escape")
        assert await settled(app, pilot) is view
        assert "Esc again" in view.text
        await pilot.press("escape")
        assert await settled(app, pilot) is not view
        assert not app.saved


@pytest.mark.slow
async def test_a_new_figure_of_a_variety_is_marked_with_where_it_comes_from() -> None:
    app, view = _app(changing("variety", ("amber",)))
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        await pilot.press("down")
        await _type(pilot, "mea")
        await pilot.press("tab")
        assert view.value("mark") == "measured"
        await _to(view, pilot, "critical day")
        await _type(pilot, "13h50")
        await pilot.press("ctrl+s")
        await settled(app, pilot)
        await pilot.press("enter")
        await settled(app, pilot)
        assert app.data["variety"][0]["marks"]["critical_day"] == "measured"


async def test_the_types_of_a_new_variety_are_listed() -> None:
    app, view = _app(adding("variety"))
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        await _to(view, pilot, "type")
        assert "oil-zhang" in view.text


@pytest.mark.slow
async def test_the_dates_that_a_hint_names_are_read_whatever_the_order_of_day_and_month() -> None:
    app, view = _app(changing("cohort", ("A1",)))
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        await _to(view, pilot, "transplant")
        hint = view.text.partition("such as ")[2].splitlines()[0]
        for order in ("", "day-first", "month-first"):
            app.date_order = order
            for form in hint.replace(" or ", ", ").split(", "):
                await pilot.press("ctrl+u")
                await _type(pilot, form)
                await settled(app, pilot)
                assert re.search(r" [FSMTW][a-z]{2} \d+ [A-Z][a-z]{2} 202\d", _line(view, "transplant ")), (
                    order,
                    form,
                )


@pytest.mark.slow
@pytest.mark.parametrize(
    ("order", "typed", "shown"),
    [
        ("", "1.2", "Mon 1 Feb 2027, the day first"),
        ("day-first", "11/12", "Fri 11 Dec 2026, the day first"),
        ("month-first", "11/12", "Thu 12 Nov 2026, the month first"),
        ("", "13.2", "Sat 13 Feb 2027"),
    ],
)
async def test_a_date_of_numbers_that_may_be_meant_otherwise_is_written_out_with_its_order(
    order: str, typed: str, shown: str
) -> None:
    app, view = _app(changing("cohort", ("A1",)))
    app.date_order = order
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        await _to(view, pilot, "transplant")
        await _type(pilot, typed)
        await settled(app, pilot)
        assert _line(view, "transplant ").rstrip().endswith(f" {shown}")


@pytest.mark.parametrize("size", [(40, 12), (40, 10), (60, 20)])
async def test_the_title_stays_in_sight_where_there_is_little_room(size: tuple[int, int]) -> None:
    app, view = _app(changing("cohort", ("A1",)))
    async with app.run_test(size=size) as pilot:
        await settled(app, pilot)
        assert view.max_scroll_y == 0
        assert not view.show_vertical_scrollbar
        assert sum(child.size.height for child in view.children) <= size[1]
