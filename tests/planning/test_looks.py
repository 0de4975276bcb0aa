"""Which look or record narrows a range most: futures made by hand."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calendar_tui.planning.why.looks import Step, best_look, best_record

TODAY = date(2027, 7, 1)
# Half of the futures are induced in June or July, and half wait for August or September; harvest is 50 to 59 d later.
SOON, LATE = [n % 10 for n in range(100)], [60 + n % 10 for n in range(100)]
INDUCED = [TODAY.toordinal() + n for n in (*SOON, *LATE)]
HARVEST = [day + 50 + n // 10 % 10 for n, day in enumerate(INDUCED)]
TWO_WAYS = {"induced": INDUCED, "harvest": HARVEST}


def day(number: int) -> date:
    return TODAY + timedelta(days=number)


def test_a_look_between_two_ways_tells_which_it_is() -> None:
    """All that are induced soon are by the 10th day: the look is two weeks from today, on the first day that tells."""
    look = best_look(TWO_WAYS, "harvest", ("induced", "harvest"), TODAY)
    assert look is not None
    assert (look.stage, look.day) == ("induced", day(14))
    whole, half = 60 + 2 * 7, 13  # from tenth to tenth: of either way alone 13 d or so
    assert look.left == pytest.approx(half / whole, abs=0.05)


def test_of_looks_that_tell_nearly_as_much_the_soonest_is_named() -> None:
    """Flowering comes 14 d after induction in all futures: a look at either tells the same, that at the tips sooner."""
    days = TWO_WAYS | {"flowering": [day + 14 for day in INDUCED]}
    look = best_look(days, "harvest", ("flowering", "induced"), TODAY)
    assert look is not None
    assert (look.stage, look.day) == ("induced", day(14))


@pytest.mark.parametrize(("astray", "stage"), [(8, "induced"), (40, "flowering")])
def test_a_later_look_is_named_where_it_tells_clearly_more(astray: int, stage: str) -> None:
    """So many of the late ones look induced at once, and are harvested late all the same: flowering alone parts them."""
    induced = [INDUCED[0] if 100 <= n < 100 + astray else day for n, day in enumerate(INDUCED)]
    days = {"induced": induced, "flowering": [day + 14 for day in INDUCED], "harvest": HARVEST}
    look = best_look(days, "harvest", ("induced", "flowering"), TODAY)
    assert look is not None
    assert look.stage == stage


def test_a_recorded_date_is_known_within_two_days() -> None:
    """Harvest 50 d after induction in every future: a record of induction leaves what it may be off, 4 d and no less."""
    days = {"induced": list(range(740000, 740050)), "harvest": list(range(740050, 740100))}
    record = best_record(days, "harvest", ("induced",))
    assert record is not None
    inner = 4 / 40  # of five days on end from the first to the last, of fifty from tenth to tenth
    assert record.left == pytest.approx(inner, rel=0.1)


def test_a_look_on_the_day_itself_sees_the_stage() -> None:
    """Induced today or in 40 d, and harvested in 50 to 99 d or in 200: what is seen today leaves the first range."""
    first = TODAY.toordinal()
    days = {
        "induced": [first] * 50 + [first + 40] * 50,
        "harvest": [*range(first + 50, first + 100)] + [first + 200] * 50,
    }
    look = best_look(days, "harvest", ("induced",), TODAY)
    assert look is not None
    assert look.day == TODAY
    assert look.left == pytest.approx(0.5 * 40 / 140, abs=0.01)


def test_no_look_lies_in_the_past() -> None:
    look = best_look(TWO_WAYS, "harvest", ("induced",), day(40))
    assert look is not None
    assert look.day == day(40)
    assert best_look(TWO_WAYS, "harvest", ("induced",), day(90)) is None


def test_a_record_of_the_stage_before_leaves_the_span_between() -> None:
    record = best_record(TWO_WAYS, "harvest", ("induced", "harvest"))
    assert record is not None
    assert (record.stage, record.day) == ("induced", None)
    assert record.left < 13 / 74


def test_what_happens_apart_from_the_stage_is_not_named() -> None:
    """Emergence early or late with no bearing on induction: neither a look nor a record of it helps."""
    days = {"emergence": [TODAY.toordinal() + n // 10 % 10 for n in range(200)], "induced": INDUCED}
    assert best_look(days, "induced", ("emergence",), TODAY) is None
    assert best_record(days, "induced", ("emergence",)) is None


def test_what_the_eye_cannot_see_is_not_looked_for() -> None:
    days = {"trigger": INDUCED, "harvest": HARVEST}
    assert best_look(days, "harvest", ("trigger", "harvest"), TODAY) is None
    assert best_record(days, "harvest", ("trigger", "harvest")) is None


def test_a_range_of_one_day_needs_no_look() -> None:
    days = {"induced": INDUCED, "harvest": [TODAY.toordinal()] * 200}
    assert best_look(days, "harvest", ("induced",), TODAY) is None
    assert best_record(days, "harvest", ("induced",)) is None


@st.composite
def some_futures(draw: st.DrawFn) -> dict[str, list[int]]:
    number = st.integers(0, 90)
    induced = draw(st.lists(number, min_size=20, max_size=60))
    later = draw(st.lists(number, min_size=len(induced), max_size=len(induced)))
    first = TODAY.toordinal()
    return {
        "induced": [first + n for n in induced],
        "harvest": [first + a + b for a, b in zip(induced, later, strict=True)],
    }


@pytest.mark.slow
@given(some_futures(), st.integers(0, 100))
def test_what_is_proposed_is_never_past_and_never_promises_more_than_all(
    days: dict[str, list[int]], after: int
) -> None:
    today = day(after)
    for step in (
        best_look(days, "harvest", ("induced", "harvest"), today),
        best_record(days, "harvest", ("induced", "harvest")),
    ):
        if step is not None:
            assert isinstance(step, Step)
            assert 0 <= step.left <= 0.9
            assert step.stage == "induced"
            assert step.day is None or step.day >= today
