"""`record --fact`: what was found is written down with the tasks that the record ticks, as `done --fact` does."""

from __future__ import annotations

from pathlib import Path

import pytest
from recording_farm import changes, data, recorded, task
from small_season import run

RECORD = ("A1", "transplant", "2026-11-08")


def test_what_was_found_is_written_down_with_the_task_that_a_record_ticks(farm: Path) -> None:
    before, count = farm.read_bytes(), changes(farm)
    ran = run("record", farm, *RECORD, "--fact", " 118 alive ", "--yes")
    assert ran.status == 0, ran.said
    ticked = task(farm, "transplant")
    assert (ticked["state"], ticked["fact"]) == ("done", "118 alive")
    assert f"ticked {ticked['id']} Transplant by hand (A1): 118 alive" in " ".join(ran.out.split())
    assert changes(farm) == count + 1
    run("undo", farm)
    assert farm.read_bytes() == before


def test_done_and_record_say_alike_what_was_found(farm: Path) -> None:
    name = task(farm, "transplant")["id"]
    both = [
        run(*words, "--fact", "118 alive", "--dry-run").out
        for words in (("record", farm, *RECORD), ("done", farm, name, "--on", "2026-11-08"))
    ]
    assert both[0] == both[1]
    assert f"ticked {name} Transplant by hand (A1): 118 alive" in " ".join(both[0].split())


def test_a_fact_may_be_added_to_a_date_that_is_recorded_already(farm: Path) -> None:
    run("record", farm, *RECORD, "--yes")
    assert "fact" not in task(farm, "transplant")
    ran = run("record", farm, *RECORD, "--fact", "118 alive", "--yes")
    assert ran.status == 0, ran.said
    assert task(farm, "transplant")["fact"] == "118 alive"


def test_a_record_without_a_fact_leaves_the_one_that_stands(farm: Path) -> None:
    run("record", farm, *RECORD, "--fact", "118 alive", "--yes")
    for fact in ((), ("--fact", " ")):
        run("record", farm, "A1", "transplant", "2026-11-07", *fact, "--yes")
        assert task(farm, "transplant")["fact"] == "118 alive"
    assert recorded(farm)["transplant"].day == 7


def test_a_fact_that_no_task_can_take_is_refused(farm: Path) -> None:
    before = farm.read_bytes()
    ran = run("record", farm, "D1", "transplant", "2026-11-08", "--fact", "118 alive", "--yes")
    assert ran.status == 2, ran.said
    ran = run("record", farm, "A1", "seeding", "2026-10-06", "--fact", "118 alive", "--yes")
    assert ran.status == 2, ran.said
    assert " ".join(ran.err.split()) == (
        'no task records the seeding of A1, so there is none to write down "118 alive" with; record it without a '
        "fact, and note it on another task: calendar-tui note TASK TEXT"
    )
    assert farm.read_bytes() == before


def test_a_fact_of_work_that_is_shared_waits_for_the_last_cohort(farm: Path) -> None:
    text = farm.read_text().replace('id = "transplant"\n', 'id = "transplant"\ntogether = "place"\n')
    text = text.replace("[[outage]]", COHORT_A2 + "[[outage]]")
    farm.write_text(text)
    assert run("tasks", farm, "--yes").status == 0
    (shared,) = [t for t in data(farm)["task"] if t["chore"] == "transplant"]
    assert shared["cohorts"] == ["A1", "A2"]
    before = farm.read_bytes()
    ran = run("record", farm, *RECORD, "--fact", "118 alive", "--yes")
    assert ran.status == 2, ran.said
    assert " ".join(ran.err.split()) == (
        f'{shared["id"]} Transplant by hand (A1 A2) is done once the transplant of A2 is recorded too, so "118 alive" '
        "has to wait; record A1 without a fact, or all of them together"
    )
    assert farm.read_bytes() == before
    ran = run("record", farm, "A1", "A2", "transplant", "2026-11-08", "--fact", "118 alive", "--yes")
    assert ran.status == 0, ran.said
    (shared,) = [t for t in data(farm)["task"] if t["chore"] == "transplant"]
    assert (shared["state"], shared["fact"]) == ("done", "118 alive")


@pytest.mark.parametrize(
    "words",
    [
        ("H1", "outage", "2026-11-06"),
        ("A1", "stay", "F1", "2026-11-08"),
        ("stay", "F1", "2026-11-08", "--place", "H1"),
    ],
    ids=["outage", "stay", "stay of those chosen"],
)
def test_a_fact_with_nights_or_a_stay_is_refused(farm: Path, words: tuple[str, ...]) -> None:
    before = farm.read_bytes()
    ran = run("record", farm, *words, "--fact", "118 alive", "--yes")
    assert ran.status == 2, ran.said
    assert "--fact does not apply to a" in ran.err
    assert farm.read_bytes() == before


COHORT_A2 = """\
[[cohort]]
id = "A2"
variety = "amber"
start = "seed"
nursery = "N1"
place = "H1"
plants = 120
spacing_m = [1.5, 0.6]
planned = { seeding = 2026-10-05, transplant = 2026-10-30, lights_off = 2027-02-10 }
recorded = { seeding = 2026-10-05 }

"""


@pytest.fixture
def asking(farm: Path) -> Path:
    """The farm, with work of a stage that asks for something."""
    farm.write_text(
        farm.read_text().replace('records = "transplant"', 'records = "transplant"\nasks = "plants set"')
    )
    return farm


def test_a_record_of_work_that_asks_for_something_tells_how_to_note_it(asking: Path) -> None:
    name = task(asking, "transplant")["id"]
    hint = f"{name} asks for plants set, and nothing is noted yet; to note it:\n  calendar-tui done {name} --fact TEXT\n"
    for words in (("record", asking, *RECORD), ("done", asking, name, "--on", "2026-11-08")):
        assert "nothing is noted" not in run(*words, "--dry-run").out
        assert "nothing is noted" not in run(*words, "--yes", "--fact", "118").out
        run("undo", asking)
        ran = run(*words, "--yes")
        assert ran.status == 0, ran.said
        assert ran.out.endswith(hint)
        run("undo", asking)
    assert "nothing is noted" not in run("record", asking, *RECORD, "--yes", "--json").out
