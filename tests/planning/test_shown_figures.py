"""What is worked out of a result is shown to four decimals; the file and JSON keep it as it is."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from calendar_tui.handing_on.tables.result_rows import results_data
from calendar_tui.handing_on.words.results_text import result_line, results_text
from calendar_tui.nature.measured import Interval
from calendar_tui.planning.results.figures import percent_text
from calendar_tui.planning.results.told import taken_texts
from tests.planning.cut_farm import IDS, planned

WET = {
    "id": "r1",
    "date": date(2027, 4, 5),
    "sample": IDS[0],
    "found": {"THC": "0.03", "THCA": "0.1988", "CBD": "0.2", "CBDA": "4.1"},
    "basis": "as received",
    "water": "8",
    "total": "0.3",
}


def wet_plan():
    bag = {"id": IDS[0], "date": date(2027, 4, 2), "cohort": "A1", "position": "top", "laboratory": "lab"}
    return planned(sample=[bag], result=[WET])


def test_a_result_as_received_with_its_water_taken_out_is_shown_without_28_digits():
    plan = wet_plan()
    (one,) = plan.results.used
    texts = [*results_text(plan), *taken_texts(plan.results, {"r1"}), result_line(plan, one)]
    shown = " ".join(texts)
    assert "0.2221 %" in shown
    assert not any(
        len(word.rstrip(")%;,").partition(".")[2]) > 4 for word in shown.split() if word[0].isdigit()
    )


def test_json_keeps_every_digit_of_a_total():
    (row,) = results_data(wet_plan())["results"]
    assert str(row["total_thc"]["low"]).startswith("0.222116956")


def test_a_figure_is_never_shown_onto_or_over_the_limit_that_it_is_not_at():
    limit = Decimal("0.3")
    assert percent_text(Interval.exactly(Decimal("0.30004")), limit) == "0.30004 %"
    assert percent_text(Interval.exactly(Decimal("0.29996")), limit) == "0.29996 %"
    assert percent_text(Interval.exactly(Decimal("0.31006")), limit) == "0.3101 %"
