"""Each caution of a list of work once, at the first work that it is for, and none dropped."""

from datetime import date, timedelta

from hypothesis import given
from hypothesis import strategies as st

from calendar_tui.planning.tasks.week import cautions_by_task, sentences
from calendar_tui.season.records import Task

HEAT = "Heat: water, shade and rest breaks."
LABEL = "Sprays: the label is the law."
ENTRY = "No entry before the re-entry interval is over."
TEXTS = {"plant": HEAT, "scout": f"{LABEL} {ENTRY}", "sample": f"Paper bags. {ENTRY}", "count": ""}


def task(n, chore, state="open"):
    return Task(id=f"t{n}", date=date(2026, 12, 7) + timedelta(days=n), what="x", chore=chore, state=state)


def test_a_caution_stands_at_the_first_work_it_is_for_and_at_no_other():
    tasks = [task(n, chore) for n, chore in enumerate(("plant", "scout", "count", "plant", "scout"))]
    assert cautions_by_task(tasks, TEXTS) == {"t0": HEAT, "t1": f"{LABEL} {ENTRY}"}


def test_two_chores_share_a_sentence_and_it_is_told_once():
    tasks = [task(0, "scout"), task(1, "sample")]
    assert cautions_by_task(tasks, TEXTS) == {"t0": f"{LABEL} {ENTRY}", "t1": "Paper bags."}


def test_it_stands_at_work_that_is_still_to_be_done():
    tasks = [task(0, "plant", "done"), task(1, "plant"), task(2, "plant")]
    assert cautions_by_task(tasks, TEXTS) == {"t1": HEAT}
    assert cautions_by_task(tasks[:1], TEXTS) == {"t0": HEAT}


def test_work_of_no_chore_or_one_that_is_gone_has_none():
    assert cautions_by_task([task(0, ""), task(1, "gone")], TEXTS) == {}


def test_a_full_stop_inside_a_sentence_ends_none():
    text = "Use approx. 30 mA, e.g. by IEC 60364. Ask first!  Then go."
    assert list(sentences(text)) == ["Use approx. 30 mA, e.g. by IEC 60364.", "Ask first!", "Then go."]


@given(
    st.lists(st.sampled_from(["plant", "scout", "sample", "count", ""]), max_size=12),
    st.lists(st.sampled_from(["open", "done", "skipped"]), min_size=12, max_size=12),
)
def test_every_caution_is_told_exactly_once(chores, states):
    tasks = [task(n, chore, state) for n, (chore, state) in enumerate(zip(chores, states, strict=False))]
    told = [s for text in cautions_by_task(tasks, TEXTS).values() for s in sentences(text)]
    due = {s for t in tasks for s in sentences(TEXTS.get(t.chore, ""))}
    assert sorted(told) == sorted(due)
