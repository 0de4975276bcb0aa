"""Stages of several cohorts in one act: it comes to the same as one act after the other, and is told by group."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date, timedelta
from functools import cache

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calendar_tui.handing_on.words.moves_text import answers_text, moves_text
from calendar_tui.planning.changes.carrying import add_stays
from calendar_tui.planning.changes.outages import record_outages
from calendar_tui.planning.changes.proposal import Proposal
from calendar_tui.planning.changes.slips import HOLD, SHIFT, plan_dates, record_dates, tick_tasks
from calendar_tui.planning.changes.task_edits import move_change, note_change, skip_change
from calendar_tui.planning.changes.ticks import StageDay, Tick
from calendar_tui.planning.plan import Plan, make_plan
from calendar_tui.season.choosing import Choice, chosen, planted_on
from calendar_tui.season.edits import apply_edits
from calendar_tui.season.reading import read_season
from calendar_tui.season.records import Season, Task
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.stages import KEPT_AT
from tests.counting import lines_run
from tests.trial_season import PLANTED, trial_data

TODAY = date(2027, 6, 4)


@cache
def _plan(cohorts: int) -> Plan:
    season = read_season(trial_data(cohorts)).season
    assert season is not None
    return make_plan(season, TODAY)


def _records(plan: Plan, names: Sequence[str], stage: str, day: date) -> list[StageDay]:
    return [StageDay(name, stage, day) for name in names if stage in plan.timelines[name].stages]


def _meaning(season: Season, past_dues: bool = True) -> tuple[object, ...]:
    """What a season says, whatever ids its tasks have and in which order they stand.

    `past_dues`: with the dates on which done and overdue work was due.
    """

    def known(task: Task) -> str:
        is_open = task.state == "open" and task.date > TODAY
        return repr(
            replace(task, id="") if is_open or past_dues else replace(task, id="", date=TODAY, why="")
        )

    # What was projected just before a record is another thing where a neighbour was recorded before it.
    cohorts = {
        name: replace(c, **{key: {} for key in KEPT_AT.values()}) for name, c in season.cohorts.items()
    }
    return cohorts, season.outages, sorted(map(known, season.tasks))


COHORTS = {
    c["id"]: c["place"]
    for c in trial_data(54, tasks=False)["cohort"]
    if c["planned"]["transplant"] == PLANTED
}
PLANTED_NAMES = [*COHORTS]


def _planted_in(place: str) -> list[str]:
    """All of a planting, of which the work is one task."""
    return [name for name, where in COHORTS.items() if where == place]


ACTS = {
    "record": (record_dates, "transplant", TODAY),
    "record early": (record_dates, "seeding", date(2027, 5, 1)),
    "plan": (plan_dates, "transplant", TODAY + timedelta(days=3)),
    "plan lights off": (plan_dates, "lights_off", date(2027, 7, 25)),
}


@pytest.mark.slow
@given(
    st.sampled_from(sorted(ACTS)),
    st.one_of(
        st.lists(st.sampled_from(PLANTED_NAMES), min_size=2, max_size=5, unique=True),
        st.sampled_from(["F1", "G1", "H1"]).map(_planted_in),
    ),
    st.sampled_from([HOLD, SHIFT]),
    st.randoms(use_true_random=False),
)
def test_one_act_comes_to_the_same_as_its_acts_one_by_one_in_any_order(act, names, answer, chance) -> None:
    make, stage, day = ACTS[act]
    plan = _plan(54)
    records = _records(plan, names, stage, day)
    if not records:
        return
    together = make(plan, records, answer)
    chance.shuffle(records)
    one_by_one = plan
    for record in records:
        one_by_one = make(one_by_one, [record], answer).plan
    assert _meaning(together.plan.season) == _meaning(one_by_one.season)


@pytest.mark.slow
@pytest.mark.parametrize("act", ACTS)
def test_the_edits_of_one_act_bring_what_it_shows(act: str) -> None:
    make, stage, day = ACTS[act]
    plan = _plan(54)
    proposal: Proposal = make(plan, _records(plan, PLANTED_NAMES, stage, day), SHIFT)
    read = read_season(apply_edits(trial_data(54), proposal.change.edits)).season
    assert read is not None
    assert _meaning(read) == _meaning(proposal.plan.season)


def test_one_that_cannot_be_refuses_all_and_each_reason_is_told_once() -> None:
    plan = _plan(54)
    records = [StageDay(name, "transplant", TODAY + timedelta(days=1)) for name in PLANTED_NAMES]
    with pytest.raises(Refusal) as refused:
        record_dates(plan, records)
    assert str(refused.value).splitlines() == [
        "transplant on Sat 5 Jun 2027 is after today, Fri 4 Jun 2027; record what has happened, plan what is to come",
        "nothing saved.",
    ]
    mixed = [
        StageDay(PLANTED_NAMES[0], "transplant", TODAY),
        StageDay(PLANTED_NAMES[1], "transplant", date(2027, 5, 1)),
    ]
    mixed.append(StageDay(PLANTED_NAMES[1], "seeding", TODAY))
    with pytest.raises(Refusal, match="nothing saved"):
        record_dates(plan, mixed)


def test_eighteen_transplants_are_told_on_one_page() -> None:
    plan = _plan(54)
    proposal = record_dates(plan, _records(plan, PLANTED_NAMES, "transplant", TODAY), SHIFT)
    lines = list(moves_text(proposal))
    assert len(lines) <= 40
    assert max(map(len, lines)) <= 80
    text = " ".join(" ".join(lines).split())
    assert "transplant 9 d later: 26 May -> 4 Jun; 18 cohorts, A2F1a B2F1a C2F1a D2F1a +14" in text
    assert (
        "lights on 9 d later: 26 May -> 4 Jun; 12 cohorts, A2G1a B2G1a C2G1a D2G1a +8; likewise lights off"
        in text
    )
    assert "A2F1a B2F1a C2F1a D2F1a +14 seeding is not recorded yet, and comes before transplant" in text
    assert "ticked 3 tasks" in text
    each = list(moves_text(proposal, everything=True))
    assert len(each) > len(proposal.tasks) + len(proposal.stages)


def test_who_differs_is_told_apart() -> None:
    """Lights off shifts the cohorts that the lamps still hold; the others' harvests stay."""
    plan = _plan(54)
    proposal = record_dates(plan, _records(plan, PLANTED_NAMES, "transplant", TODAY), SHIFT)
    text = " ".join(" ".join(moves_text(proposal)).split())
    harvests = {m.cohort for m in proposal.stages if m.stage == "harvest" and m.old.likely != m.new.likely}
    assert 0 < len(harvests) < 54
    assert "harvest, dried of A1G1a B1G1a C1G1a D1G1a +25 move; their likely dates stay" in text
    assert f"induced 1 d later: 20 Aug - 22 Aug -> 21 Aug - 23 Aug; {len(harvests)} cohorts" in text
    assert "harvest 18 Oct - 20 Oct -> 19 Oct - 21 Oct" in text


def test_what_both_answers_move_is_told_once() -> None:
    plan = _plan(54)
    records = _records(plan, PLANTED_NAMES, "transplant", TODAY)
    proposals = {answer: record_dates(plan, records, answer) for answer in (HOLD, SHIFT)}
    lines = list(answers_text(proposals))
    assert len(lines) <= 52
    assert max(map(len, lines)) <= 80
    assert lines[0] == "== either way =="
    text = " ".join(" ".join(lines).split())
    assert text.count("transplant 9 d later: 26 May -> 4 Jun; 18 cohorts") == 1
    assert text.count("seeding is not recorded yet") == 1
    assert (
        text.index("== hold lights off") < text.index("== shift lights off") < text.index("trigger 6 d later")
    )
    each = list(answers_text(proposals, everything=True))
    assert lines[0] not in each
    assert sum("seeding is not recorded yet" in line for line in each) == 2


def test_an_outage_of_two_houses_is_told_by_group() -> None:
    plan = _plan(54)
    lines = list(moves_text(record_outages(plan, ["H1", "G1"], date(2027, 6, 1), date(2027, 6, 3))))
    assert len(lines) <= 20
    text = " ".join(" ".join(lines).split())
    assert "A1H1a A2H1a A1G1a A2G1a: no harm: the natural day is 14 h 23 or more" in text


@pytest.mark.slow
def test_many_at_once_are_laid_out_once() -> None:
    """The season is laid out once and its tasks gone through once, however many cohorts an act is for."""
    for cohorts in (54, 216):
        plan = _plan(cohorts)
        record_dates(plan, _records(plan, PLANTED_NAMES[:1], "transplant", TODAY))  # works the plan out too
        one, many = (
            lines_run(
                lambda n=n, p=plan: record_dates(p, _records(p, PLANTED_NAMES[:n], "transplant", TODAY))
            )
            for n in (1, 18)
        )
        assert many < 6 * one


@pytest.mark.parametrize(
    ("choice", "count"),
    [
        (Choice(planted=PLANTED), 18),
        (Choice(planted=PLANTED, place="h1"), 6),
        (Choice(variety="AMBER"), 9),
        (Choice(variety="amber", place="F1"), 3),
        (Choice(place="N1"), 54),
    ],
)
def test_cohorts_are_chosen_by_what_they_have_in_common(choice: Choice, count: int) -> None:
    cohorts = chosen(_plan(54).season, choice)
    assert len(cohorts) == count
    assert all(choice.planted in (None, planted_on(c)) for c in cohorts)


@pytest.mark.parametrize(
    ("choice", "message"),
    [
        (Choice(place="H9"), '"H9" is not a place of this season. Known: N1, F1, G1, H1'),
        (Choice(variety="ambr"), '"ambr" is not a variety of this season; did you mean "amber"?'),
        (
            Choice(place="H1", planted=date(2027, 5, 6)),
            "no cohort in H1 is planted on Thu 6 May 2027; planting dates there: Wed 5 May 2027, Wed 26 May 2027, "
            "Wed 16 Jun 2027",
        ),
        (Choice(place="H1", part="east"), "there is no cohort in H1 east; parts with cohorts there: none"),
    ],
)
def test_a_choice_of_none_is_refused_with_what_there_is(choice: Choice, message: str) -> None:
    with pytest.raises(Refusal) as refused:
        chosen(_plan(54).season, choice)
    assert message in str(refused.value)


def test_a_choice_of_none_names_the_varieties_or_places_there_are() -> None:
    season = _plan(54).season
    amber = {
        name: c for name, c in season.cohorts.items() if (c.variety == "amber") == (c.stays[-1].place == "F1")
    }
    less = replace(season, cohorts=amber)
    with pytest.raises(Refusal) as refused:
        chosen(less, Choice(variety="amber", place="h1"))
    assert (
        str(refused.value)
        == "there is no cohort of amber in H1; varieties there: brook, cedar, dune, elm, fern"
    )
    outside = {name: c for name, c in season.cohorts.items() if c.stays[-1].place == "F1"}
    with pytest.raises(Refusal) as refused:
        chosen(replace(season, cohorts=outside), Choice(place="H1"))
    assert str(refused.value) == "there is no cohort in H1; places with cohorts: N1, F1"
    with pytest.raises(Refusal) as refused:
        chosen(replace(season, cohorts={}), Choice(place="H1"))
    assert str(refused.value) == "there is no cohort in H1; the season has none"


def test_a_recorded_date_is_when_a_cohort_was_planted() -> None:
    plan = _plan(54)
    after = record_dates(plan, [StageDay(PLANTED_NAMES[0], "transplant", TODAY)]).plan.season
    assert [c.id for c in chosen(after, Choice(planted=TODAY))] == [PLANTED_NAMES[0]]
    assert len(chosen(after, Choice(planted=PLANTED))) == 17


# --- tasks and lamps, in one act and one by one


DUE = [t.id for t in _plan(54).season.tasks if t.date <= TODAY and t.state == "open"]
# Two stages of one cohort on one day are another thing: the first moves what the second finds.
WORK_OF_STAGES = {
    chore: [t.id for t in _plan(54).season.tasks if t.chore == chore and t.date <= TODAY]
    for chore in ("seed-trays", "transplant")
}
PLAIN = [t.id for t in _plan(54).season.tasks if t.id in DUE and not _plan(54).season.chores[t.chore].records]


@pytest.mark.slow
@settings(max_examples=25)
@given(
    st.lists(st.sampled_from(PLAIN), max_size=4, unique=True),
    st.sampled_from(sorted(WORK_OF_STAGES)).flatmap(
        lambda chore: st.lists(st.sampled_from(WORK_OF_STAGES[chore]), min_size=1, max_size=3, unique=True)
    ),
    st.randoms(use_true_random=False),
)
def test_ticks_of_one_act_come_to_the_same_as_one_by_one(plain, recording, chance) -> None:
    """Plain work first: a stage recorded before it may move it, or need it no more; so may it the due dates of overdue work."""
    plan = _plan(54)

    def ticks(of: Plan, names: Sequence[str]) -> list[Tick]:
        return [Tick(t, TODAY) for t in of.season.tasks if t.id in names]

    together = tick_tasks(plan, ticks(plan, [*plain, *recording])).plan
    chance.shuffle(plain)
    chance.shuffle(recording)
    one_by_one = plan
    for name in (*plain, *recording):
        one_by_one = tick_tasks(one_by_one, ticks(one_by_one, [name])).plan
    assert {*plain, *recording} <= {t.id for t in together.season.tasks if t.state == "done"}
    assert _meaning(together.season, past_dues=False) == _meaning(one_by_one.season, past_dues=False)


@pytest.mark.quick(1)
@pytest.mark.parametrize("order", [("H1", "G1", "N1"), ("N1", "G1", "H1")])
def test_lamps_that_failed_in_several_places_come_to_the_same_as_one_by_one(order) -> None:
    nights = (TODAY - timedelta(days=3), TODAY - timedelta(days=1))
    plan = _plan(54)
    together = record_outages(plan, ["H1", "G1", "N1"], *nights).plan
    one_by_one = plan
    for place in order:
        one_by_one = record_outages(one_by_one, [place], *nights).plan
    assert set(together.season.outages) == set(one_by_one.season.outages)
    assert _meaning(together.season)[2] == _meaning(one_by_one.season)[2]
    assert {n: t.stages for n, t in together.timelines.items()} == {
        n: t.stages for n, t in one_by_one.timelines.items()
    }


BY_HAND = {
    "skip": lambda tasks: skip_change(tasks, "wet"),
    "move": lambda tasks: move_change([(task, task.date + timedelta(days=2)) for task in tasks]),
    "note": lambda tasks: note_change(tasks, "hoe only"),
}


@given(
    st.sampled_from(sorted(BY_HAND)),
    st.lists(st.sampled_from(DUE), min_size=2, max_size=6, unique=True),
    st.randoms(use_true_random=False),
)
def test_tasks_by_hand_in_one_act_are_as_one_by_one(act, names, chance) -> None:
    tasks = {t.id: t for t in _plan(54).season.tasks}
    rows = [{"id": name, "date": tasks[name].date, "why": "spring"} for name in names]
    for name in names:
        tasks[name] = replace(tasks[name], why="spring")
    data = {"task": rows}
    together = apply_edits(data, BY_HAND[act]([tasks[name] for name in names]).edits)
    chance.shuffle(names)
    for name in names:
        data = apply_edits(data, BY_HAND[act]([tasks[name]]).edits)
    assert data == together
    assert all(task != before for task, before in zip(data["task"], rows, strict=True))


def test_one_cohort_carried_from_among_many_is_told_in_few_lines() -> None:
    plan = _plan(54)
    cohort = plan.season.cohorts["A2G1a"]
    proposal = add_stays(plan, [cohort], "F1", date(2027, 7, 20), done=False)
    assert len(proposal.tasks) > 200
    lines = list(moves_text(proposal))
    assert len(lines) < 100
    text = " ".join(" ".join(lines).split())
    assert f"{len(proposal.tasks)} tasks move; --all lists each" in text
    assert "Set irrigation; walk the lines for leaks 22 Jul - 4 Nov stay (with A2G1a)" in text
    assert "stay (without A2G1a)" in text
    assert "A3F1a ->" not in text
    every = list(moves_text(proposal, everything=True))
    named = [move for move in proposal.tasks if any(f"    {move.task.id} " in line for line in every)]
    assert len(named) == len(proposal.tasks)
