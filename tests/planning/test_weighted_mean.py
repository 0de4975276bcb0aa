"""The mean of the positions by what the parts weighed, wherever results are shown: the trend, the results, their data."""

from datetime import date

from calendar_tui.handing_on.tables.trend_rows import trend_row
from calendar_tui.handing_on.words.trend_text import sentences
from calendar_tui.planning.plan import make_plan
from calendar_tui.planning.results.trend import limit_dates, trend_of
from calendar_tui.screens.results.rows import result_rows
from tests.planning.cut_farm import cut_data
from tests.planning.farm import season_of

TODAY, CUT = date(2027, 4, 10), date(2027, 3, 24)
TOTALS = {"top": ("26A1TA", "0.32"), "middle": ("K7Q2RY", "0.26"), "bottom": ("A1T07Q", "0.22")}
# Top, middle, bottom 0.32, 0.26, 0.22 and masses 0.5, 0.3, 0.2: 0.282, and the top alone is over 0.3 (arithmetic).
TOLD = "A1, cut 24 Mar: the mean by weight is 0.282 % (top 0.50, middle 0.30, bottom 0.20 of the fresh weight"


def plan_of(*weighed):
    samples = [{"id": n, "date": CUT, "cohort": "A1", "position": p} for p, (n, _) in TOTALS.items()]
    results = [
        {"id": f"r-{p}", "date": CUT, "sample": n, "found": {"THC": total, "THCA": "0"}}
        for p, (n, total) in TOTALS.items()
    ]
    kg = dict(zip(TOTALS, weighed, strict=False))
    passes = [{"id": "p1", "date": date(2027, 4, 9), "lot": "A1", "fresh_kg": kg}] if kg else []
    return make_plan(season_of(cut_data(sample=samples, result=results) | {"pass": passes}), TODAY)


def test_the_trend_tells_the_mean_by_weight_beside_the_top_that_decides():
    shown = trend_of(plan_of(5.0, 3.0, 2.0), "A1")
    text = " ".join(sentences(shown, "top"))
    assert TOLD in text
    assert "information: the top decides." in text
    (row,) = trend_row(shown, "top", limit_dates(plan_of(5.0, 3.0, 2.0), "A1"))["weighted"]
    assert row["total_thc"]["low"].rstrip("0") == "0.282"


def test_where_a_part_was_not_weighed_there_is_none():
    for weighed in ((), (5.0, 3.0)):
        assert "by weight" not in " ".join(sentences(trend_of(plan_of(*weighed), "A1"), "top"))


def test_the_view_of_results_has_it_too():
    rows = result_rows(plan_of(5.0, 3.0, 2.0), 200, False)
    assert TOLD in "\n".join("".join(part.text for part in one.segments) for one in rows)
