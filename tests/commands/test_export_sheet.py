"""The week as a page to print: its work by day, boxes to tick, cautions, and whose it is."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from hard_season import hard_text
from page_reading import Page, stands_alone
from small_season import ids, run, swap

DAYS = ["Mon 9 Nov", "Tue 10 Nov", "Wed 11 Nov", "Thu 12 Nov", "Fri 13 Nov", "Sat 14 Nov", "Sun 15 Nov"]


def sheet(season: Path, *words: object, today: str = "2026-11-10") -> Page:
    target = season.parent / "week.html"
    ran = run("export", season, "--sheet", target, "--yes", *words, today=today)
    assert ran.status == 0, ran.said
    return Page(target)


def ids_on(page: Page) -> list[str]:
    return re.findall(r'class="box">.?</span></td><td>(\w+)</td>', page.source)


def test_it_has_the_weeks_tasks_by_day_below_mondays_date(season: Path) -> None:
    page = sheet(season)
    stands_alone(page)
    assert "Week of Mon 9 Nov 2026" in page.texts
    assert any("Near Fields 2026-27; week 46 of 2026; printed Tue 10 Nov 2026" in text for text in page.texts)
    heads = re.findall(r'<th colspan="8" class="day">(.*?)</th>', page.source)
    assert [head.split(" - ")[0] for head in heads] == ["Overdue: 2", *DAYS]
    told = re.findall(r"^  (\w{4}) \[ \]", run("week", season, today="2026-11-10").out, re.MULTILINE)
    assert sorted(ids_on(page)) == sorted(told)
    assert any(text.startswith("Caution: Heat: water and shade.") for text in page.texts)


def test_every_row_has_a_box_and_each_day_one_to_fill_in(season: Path) -> None:
    page = sheet(season)
    boxes = page.source.count('class="box"')
    assert boxes == len(ids_on(page)) + 7
    assert page.texts.count("by whom, what was found") == 1, (
        "the head, which browsers repeat on each sheet of paper"
    )


def test_hours_that_are_a_guess_say_so(season: Path) -> None:
    page = sheet(season)
    assert "~1.02" in page.texts
    assert "~ hours are a guess" in page.texts
    assert any("crew ~1.02 h" in text for text in page.texts)


def test_done_and_skipped_work_is_marked(season: Path) -> None:
    first = ids_on(sheet(season))[-1]
    run("done", season, first, today="2026-11-10")
    page = sheet(season)
    row = next(row for row in re.findall(r"<tr.*?</tr>", page.source) if f"<td>{first}</td>" in row)
    assert row.startswith('<tr class="done">')
    assert '<span class="box">x</span>' in row
    assert "done Tue 10 Nov" in row


def test_ids_and_hours_stay_on_one_line(season: Path) -> None:
    """A broken id would be typed wrong: every column whose cells must not break has room for them, 1.9 mm a sign and 2 mm between."""
    page = sheet(season)
    assert "td:nth-child(2), td:nth-child(6) { white-space: nowrap }" in page.source
    longest = [
        max(map(len, cells)) for cells in (ids_on(page), re.findall(r"<td>(~?\d+[.,]?\d*)</td>", page.source))
    ]
    widths = [int(re.search(rf"th:nth-child\({n}\) {{ width: (\d+)mm", page.source)[1]) for n in (2, 6)]
    assert all(wide >= 2 + 1.9 * signs for wide, signs in zip(widths, longest, strict=True))


def test_one_role_and_one_place(season: Path) -> None:
    everything = set(ids_on(sheet(season)))
    scout, field = sheet(season, "--role", "SCOUT"), sheet(season, "--place", "f1")
    assert "work of: scout" in scout.source
    assert set(ids_on(scout)) < everything
    assert set(re.findall(r"<td>(crew|scout)</td>", scout.source)) == {"scout"}
    assert "place: F1" in field.source
    assert "H1" not in "".join(re.findall(r"<td>.*?</td>", field.source))


def test_the_work_at_the_parts_of_a_screened_place_is_the_place_s(tmp_path: Path) -> None:
    path = tmp_path / "hard.toml"
    path.write_text(
        hard_text(12) + '[[chore]]\nid = "plant"\nwhat = "Plant"\nstage = "transplant"\nwho = "crew"\n'
    )
    assert run("tasks", path, "--yes", today="2026-03-01").status == 0
    page = sheet(path, "--place", "H2", today="2026-04-01")
    assert {"H2 west C3", "H2 east C6"} <= set(page.texts)
    told = run("week", path, "--place", "H2", today="2026-04-01").out
    assert sorted(ids_on(page)) == sorted(re.findall(r"^  (\w{4}) \[ \]", told, re.MULTILINE))


def test_another_week(season: Path) -> None:
    page = sheet(season, "--week", "2027-01-03")
    assert "Week of Mon 28 Dec 2026" in page.texts
    assert any("week 53 of 2026" in text for text in page.texts), "ISO 8601: 2026 has 53 weeks"


def test_lamps_of_the_week(season: Path) -> None:
    page = sheet(season)
    lamps = run("lamps", season, "--json").out
    on = re.search(r'"date": "2026-11-09",\s+"method": "extend",\s+"on": "([\d:]+)"', lamps)
    assert on
    line = next(text for text in page.texts if text.startswith(f"H1: on {on[1]} off "))
    assert line.endswith(" from Mon 9 Nov, 7 nights")


def test_hard_names_are_nothing_but_text(tmp_path: Path) -> None:
    path = tmp_path / "hard.toml"
    path.write_text(hard_text(12), encoding="utf-8")
    assert run("tasks", path, "--yes", today="2026-03-05").status == 0
    page = sheet(path, today="2026-03-09")
    stands_alone(page)
    assert not {"u", "b", "i", "co", "seed"} & {tag for tag, _ in page.elements}
    assert 'Sow <u>"deep"</u> & label' in page.texts
    assert "Caution: Dust </table> & <seed>" in page.texts
    assert page.source.count("<table") == page.source.count("</table>") == 1


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("--role", "scuot"), '--role "scuot" is no role of this season; did you mean "scout"?'),
        (("--place", "H9"), '"H9" is not a place of this season'),
        (("--week", "soon"), '"soon" is not a date'),
        (("--alarm", "07:00"), "--alarm is for --calendar; give that too, or leave it out"),
    ],
)
def test_what_is_not_understood(season: Path, words: tuple[str, ...], says: str) -> None:
    ran = run("export", season, "--sheet", season.parent / "x.html", *words)
    assert ran.status == 2
    assert says in ran.err
    assert not (season.parent / "x.html").exists()


def test_without_saved_tasks_it_says_what_to_do(season: Path) -> None:
    text = season.read_text(encoding="utf-8")
    season.write_text(text[: text.index("[records]")], encoding="utf-8")
    ran = run("export", season, "--sheet", season.parent / "x.html")
    assert ran.status == 2
    assert "calendar-tui tasks makes them" in ran.err


def test_all_files_at_once_or_none(season: Path) -> None:
    folder = season.parent
    words = ("--calendar", folder / "a.ics", "--table", folder / "a.csv", "--wall", folder / "a.html")
    refused = run("export", season, *words, "--sheet", folder / "nowhere" / "b.html")
    assert refused.status == 2
    assert [p for p in folder.iterdir() if p.stem == "a"] == []
    made = run("export", season, *words, "--sheet", folder / "b.html")
    assert made.status == 0, made.said
    assert {p.name for p in folder.iterdir()} >= {"a.ics", "a.csv", "a.html", "b.html"}


def test_a_note_with_lines_to_write_on_stays_on_its_row(season: Path) -> None:
    task = ids(season)[0]
    text = swap(f'id = "{task}"', f'id = "{task}", note = "bring <water> & \\"shade\\""')(season.read_text())
    season.write_text(text, encoding="utf-8")
    day = re.search(rf'id = "{task}", note = .*? date = ([\d-]+)', text)
    assert day
    page = sheet(season, "--week", day[1])
    assert 'note: bring <water> & "shade"' in page.texts


def test_a_timer_that_does_not_follow_the_clock_is_set_by_standard_time(season: Path) -> None:
    """Chile is an hour ahead of its standard time from September to April."""
    text = season.read_text(encoding="utf-8").replace("America/Montevideo", "America/Santiago")
    text = text.replace("target_h = 16.0,", "target_h = 16.0, timer_follows_clock = false,", 1)
    season.write_text(text, encoding="utf-8")
    line = next(text for text in sheet(season).texts if text.startswith("H1: on "))
    found = re.search(r"on (\d\d):(\d\d) off .*on standard time: on (\d\d):(\d\d) off", line)
    assert found
    assert (int(found[1]) - int(found[3]), found[2]) == (1, found[4])


def test_the_sheet_of_another_week_lists_nothing_as_overdue(season: Path) -> None:
    for day in ("2026-11-16", "2027-01-05"):
        assert "Overdue" not in sheet(season, "--week", day).source
