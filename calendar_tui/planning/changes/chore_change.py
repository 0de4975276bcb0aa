"""A season's chores as they stand, and a change of one, a new one, or one taken away: proposed with the tasks it moves."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, time
from typing import Any

from calendar_tui.planning.changes.field_change import (
    Keys,
    checked,
    number,
    read_as,
    read_mark,
    short,
)
from calendar_tui.planning.changes.proposal import Proposal
from calendar_tui.planning.changes.replan import new_before, propose
from calendar_tui.planning.plan import Plan
from calendar_tui.planning.tasks.by_chore import chore_tasks, first_made, shared_tasks, task_key
from calendar_tui.planning.tasks.chore_dates import unreached
from calendar_tui.season.edits import Edit
from calendar_tui.season.field_names import field_words
from calendar_tui.season.fields import FIELDS, MARKS, REQUIRED, Field
from calendar_tui.season.marks import GUESS_MARK
from calendar_tui.season.readers import Unreadable, clock_time, day, with_colon, yes_no
from calendar_tui.season.records import Chore, Season
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.stages import STAGES
from calendar_tui.season.wording import day_text, stage_text, year_day_text
from calendar_tui.season.yes_no import is_yes

KEYS: Mapping[str, Field] = {f.key: f for f in FIELDS["chore"] if f.key != "id"}
# What a mark speaks of: when its tasks come, and how long they take.
DATE_KEYS = ("stage", "offset_d", "repeat", "until", "until_offset_d", "without_nursery")
HOURS_KEYS = ("hours", "per")
NEEDED = tuple(key for key, field in KEYS.items() if field.default is REQUIRED)
NONE = "none"
CHORE_KEYS = Keys("chore", KEYS, "a field of a chore", "Fields")
_UNTIL_EXAMPLE = "FREQ=WEEKLY until harvest"


@dataclass(frozen=True, slots=True)
class ChoreField:
    """One field of a chore as it stands. value: as a season file has it, None for none; own: whether the file gives it."""

    chore: str
    key: str
    unit: str
    meaning: str
    value: Any
    own: bool
    guess: bool


def right_value(key: str) -> str:
    """What the file's reader says would be right for a field of a chore; "" where any text is."""
    read = KEYS[key].read
    assert read is not None
    try:
        read("")
    except Unreadable as wrong:
        return str(wrong).partition("; ")[2]
    return ""


def by_stage(season: Season) -> Iterator[tuple[str, list[Chore]]]:
    """The chores by the stage they hang on, in the order of stages and offsets."""
    for stage in STAGES:
        chores = [chore for chore in season.chores.values() if chore.stage == stage]
        if chores:
            yield stage, sorted(chores, key=lambda c: c.offset_d)


def tasks_made(plan: Plan) -> Counter[str]:
    """How many tasks each chore makes in the whole season, done or not, by its id; without those left out as passed."""
    saved = {task_key(t) for t in plan.season.tasks}
    since = {c.id: first_made(plan.season, c) for c in plan.season.chores.values()}
    everywhere = {""}
    for cohort in plan.season.cohorts.values():
        everywhere |= set(cohort.lights)
    alone = (task for t in plan.timelines.values() for task in chore_tasks(plan.season, t))
    together = shared_tasks(plan.season, plan.timelines, everywhere)
    return Counter(
        task.chore
        for task in (*alone, *together)
        if task.date >= since[task.chore] or task_key(task) in saved
    )


def fields_of(chore: Chore, data: Mapping[str, Any]) -> tuple[ChoreField, ...]:
    """Every field of a chore, in the order of the reference; data: of the season file, which tells whose they are."""
    given: Mapping[str, Any] = next((c for c in data.get("chore", ()) if c["id"] == chore.id), {})
    return tuple(
        ChoreField(
            chore.id,
            field.key,
            field.unit,
            field.meaning,
            written(getattr(chore, field.name)),
            field.key in given,
            _is_guess(chore, field.key),
        )
        for field in KEYS.values()
    )


def _is_guess(chore: Chore, key: str) -> bool:
    if key in HOURS_KEYS:
        return chore.guessed and bool(chore.hours)
    return key in DATE_KEYS and chore.mark == GUESS_MARK and getattr(chore, key) != KEYS[key].default


def written(value: Any) -> Any:
    """A chore's value as a season file has it; None for none."""
    if isinstance(value, time):
        return f"{value:%H:%M}"
    if isinstance(value, tuple):
        return list(value)
    if isinstance(value, float):
        return short(value)
    return None if value == "" else value


def typed_text(value: Any) -> str:
    """A value as it is typed: "seed, cutting", "true", "0.5"; "" for none."""
    if isinstance(value, list):
        return ", ".join(value)
    if isinstance(value, bool):
        return str(value).lower()
    return "" if value is None else str(value)


def change_chore(plan: Plan, chore: Chore, key: str, typed: str, mark: str = "") -> Proposal:
    """The proposal that gives a field of a chore the value typed, with every task of the chore that it moves.

    key: of the field.
    typed: as in a season file, quotes and brackets left out or not; "" or "none" takes the value away. A repeat may
      name its end too: FREQ=WEEKLY until harvest -3.
    mark: one of MARKS, for dates and hours. "" marks a new one as a placeholder.
    Raises Refusal where the value cannot be.
    """
    if mark and key not in (*DATE_KEYS, *HOURS_KEYS):
        raise Refusal(
            f"a mark says where dates and hours come from, and {field_words('chore', key)} is neither; change it without one"
        )
    if key == "repeat" and typed.strip() not in ("", NONE) and not chore.until and " until " not in typed:
        raise Refusal(f'a repeat ends at a stage; give both in one, such as "{_UNTIL_EXAMPLE}"')
    values = {k: _read(k, words) for k, words in _with_end(key, typed).items()}
    moved = any(values[k] != getattr(chore, KEYS[k].name) for k in values)
    new = replace(chore, **{KEYS[k].name: value for k, value in values.items()})
    unmarked = moved and not mark and key in (*DATE_KEYS, *HOURS_KEYS)
    if mark or unmarked:
        new = _marked(chore, new, key, read_mark(mark) if mark else GUESS_MARK)
    texts = filter(None, (_change_text(chore, new, k) for k in values))
    what = f"chore {chore.id} " + (
        ", ".join(texts) or f"{field_words('chore', key)} {_value_text(new, key)} kept"
    )
    marked = f", marked {new.hours_mark or new.mark if key in HOURS_KEYS else new.mark}"
    return _proposed(
        plan,
        new,
        what + (marked if mark or unmarked else ""),
        chore_edits(chore, new),
        _no_mark_text(chore.id, unmarked),
    )


def add_chore(plan: Plan, name: str, typed: Mapping[str, str], mark: str = "") -> Proposal:
    """The proposal that adds a chore of one's own, with every task it makes.

    typed: by key, as for change_chore; what and stage are needed. Raises Refusal where it cannot be.
    """
    name = str(read_as(FIELDS["chore"][0], name.strip()))
    if name in plan.season.chores:
        raise Refusal(f'there is a chore "{name}" already; give the new one another id')
    values: dict[str, Any] = {}
    for key, words in typed.items():
        values |= {k: _read(k, part) for k, part in _with_end(key, words).items()}
    for key in NEEDED:
        if not values.get(key):
            raise Refusal(f"the new chore {name} has no {key}: {KEYS[key].meaning}")
    if mark:
        values["mark"] = read_mark(mark)
    new = Chore(id=name, **{KEYS[key].name: value for key, value in values.items()})
    edit = Edit("add", "chore", (name,), (), chore_table(new))
    unmarked = not values.get("mark")
    return _proposed(plan, new, f"chore {name} added: {new.what}", [edit], _no_mark_text(name, unmarked))


def remove_chore(plan: Plan, chore: Chore) -> Proposal:
    """The proposal that takes a chore away, with the tasks that fall away."""
    chores = {name: kept for name, kept in plan.season.chores.items() if name != chore.id}
    season = checked(replace(plan.season, chores=chores))
    what = f"chore {chore.id} taken away: {chore.what}"
    proposal = propose(plan, season, what, [Edit("remove", "chore", (chore.id,))], chores=(chore.id,))
    return replace(proposal, notes=tuple(_standing(season, chore)))


def switch_chore(plan: Plan, chore: Chore) -> Proposal:
    """The proposal that switches a chore off, or on again."""
    return change_chore(plan, chore, "active", "false" if chore.active else "true")


def typed_chore(line: str) -> tuple[str, dict[str, str]]:
    """The id, and the fields by key, of a chore typed in one line: mulch transplant +10 Mulch the rows.

    Raises Refusal where a part is missing.
    """
    name, _, rest = line.strip().partition(" ")
    stage, _, rest = rest.strip().partition(" ")
    first, _, after = rest.strip().partition(" ")
    offset = isinstance(number(first), int)
    what = after.strip() if offset else rest.strip()
    if not what:
        raise Refusal(
            "type its id, the stage it hangs on, days from there, and the work, such as: mulch transplant +10 Mulch "
            "the rows"
        )
    return name, {"stage": stage, "what": what} | ({"offset_d": first} if offset else {})


def _proposed(plan: Plan, new: Chore, what: str, edits: list[Edit], doubts: Iterable[str]) -> Proposal:
    before = plan.season.chores.get(new.id)
    season = replace(plan.season, chores={**plan.season.chores, new.id: new})
    proposal = propose_chores(plan, season, what, edits, [new.id])
    off_now = before is not None and before.active and not new.active
    idle = () if off_now else _idle(proposal.plan, new)
    return replace(proposal, notes=(*doubts, *idle, *proposal.notes))


def propose_chores(
    plan: Plan, season: Season, what: str, edits: Sequence[Edit], names: Collection[str]
) -> Proposal:
    """The proposal that takes the plan to a season in which these chores are new, changed or gone. Raises Refusal.

    What was never asked for cannot be late: `since` keeps new tasks out that lie before today, whenever the season is
    planned anew; but not where `since` is what was changed.
    """
    proposal = propose(plan, checked(season), what, edits, chores=names)
    passed = [m.task for m in proposal.tasks if m.old is None and m.task.date < plan.today]
    before = plan.season.chores
    late = {t.chore for t in passed}
    dated = {
        name: replace(chore, since=plan.today)
        for name, chore in season.chores.items()
        if name in late and (name not in before or before[name].since == chore.since)
    }
    if dated:
        since = [Edit("set", "chore", (name,), ("since",), plan.today) for name in dated]
        dated_season = replace(season, chores={**season.chores, **dated})
        proposal = propose(plan, checked(dated_season), what, [*edits, *since], chores=names)
    return replace(proposal, notes=tuple(_late_texts(plan.today, len(passed), proposal)))


def _late_texts(today: date, passed: int, proposal: Proposal) -> Iterator[str]:
    """What becomes of dates before today. passed: how many tasks would be new there."""
    if passed > (kept := new_before(proposal.tasks, today)):
        dates = "1 date is" if passed == 1 else f"{passed} dates are"
        yield f"{dates} before today, {day_text(today)}, and left out"
    back = sum(m.old is not None and m.old.date >= today and m.task.date < today for m in proposal.tasks)
    if late := back + kept:
        yield f"{late} {'task is' if late == 1 else 'tasks are'} put before today, {day_text(today)}: overdue"


def _with_end(key: str, typed: str) -> dict[str, str]:
    """What is typed for a key, by key: a repeat may bring its end along, an end its offset; none of one takes all."""
    words = typed.strip()
    if key not in ("repeat", "until"):
        return {key: words}
    if words in ("", NONE):
        keys = ("repeat", "until", "until_offset_d")
        return dict.fromkeys(keys if key == "repeat" else keys[1:], "")
    rule, _, end = words.partition(" until ") if key == "repeat" else ("", "", words)
    values = {"repeat": rule} if rule else {}
    if end:
        stage, _, offset = end.strip().rpartition(" ")
        if not stage or not isinstance(number(offset), int):
            stage, offset = end, ""
        values |= {"until": stage, "until_offset_d": offset}
    return values


def _read(key: str, typed: str) -> Any:
    """What is typed as the record keeps it. Raises Refusal."""
    field = KEYS[key]
    words = typed.strip().strip("\"'")
    if words in ("", NONE) and field.default is not REQUIRED:
        return field.default
    return read_as(field, _plain(field, words))


def _plain(field: Field, words: str) -> Any:
    """What is typed as a season file would have it; what is not of the field's kind is left for its reader to refuse."""
    if field.read in _PLAIN:
        return _PLAIN[field.read](words)
    if isinstance(field.default, tuple):
        return [_word(w) for w in words.strip("[]").split(",") if _word(w)]
    if isinstance(field.default, int | float):
        return number(words)
    if field.unit == "stage":
        return words.casefold().replace(" ", "_").replace("-", "_")
    return words


def _day(words: str) -> date | str:
    try:
        return date.fromisoformat(words)
    except ValueError:
        return words


# By the reader of a field: what is typed for it, as a season file would have it.
_PLAIN: Mapping[Any, Callable[[str], Any]] = {
    yes_no: lambda words: words if (meant := is_yes(words)) is None else meant,
    clock_time: with_colon,
    day: _day,
}


def _word(word: str) -> str:
    return word.strip().strip("\"'")


def _marked(old: Chore, new: Chore, key: str, mark: str) -> Chore:
    """The chore with the mark of its dates, or of its hours, given anew; the other keeps the one it had."""
    if key in HOURS_KEYS:
        return replace(new, hours_mark="" if mark == old.mark else mark)
    hours = old.hours_mark or old.mark
    return replace(new, mark=mark, hours_mark="" if not new.hours or hours == mark else hours)


def chore_table(chore: Chore) -> dict[str, Any]:
    """A chore as a season file has it, without the fields that are as by default."""
    given = {k: getattr(chore, f.name) for k, f in KEYS.items() if getattr(chore, f.name) != f.default}
    return {"id": chore.id} | {key: written(value) for key, value in given.items()}


def chore_edits(old: Chore, new: Chore) -> list[Edit]:
    """The edits of the fields in which a chore is new."""
    out = []
    for key, field in KEYS.items():
        value = getattr(new, field.name)
        if value == getattr(old, field.name):
            continue
        if value == field.default:
            out.append(Edit("unset", "chore", (old.id,), (key,)))
        else:
            out.append(Edit("set", "chore", (old.id,), (key,), written(value)))
    return out


def _value_text(chore: Chore, key: str) -> str:
    return shown_text(KEYS[key].unit, written(getattr(chore, KEYS[key].name))) or NONE


def shown_text(unit: str, value: Any) -> str:
    """A value as it is shown: "8 Dec 2026", "lights off", else as it is typed; "" for none."""
    if type(value) is date:
        return year_day_text(value)
    return stage_text(typed_text(value)) if unit == "stage" else typed_text(value)


def _change_text(old: Chore, new: Chore, key: str) -> str:
    before, after = _value_text(old, key), _value_text(new, key)
    return "" if before == after else f"{field_words('chore', key)} {before} -> {after}"


def _no_mark_text(name: str, unmarked: bool) -> Iterator[str]:
    if unmarked:
        known = ", ".join(m for m in MARKS if m != GUESS_MARK)
        yield f"no mark says where the figures of {name} come from: marked {GUESS_MARK}, a guess. Marks: {known}"


def _idle(plan: Plan, chore: Chore) -> Iterator[str]:
    """Why a chore makes no task, but for one that has just been switched off."""
    if not chore.active:
        yield f"chore {chore.id} is switched off, so it makes no task; active true switches it on"
        return
    alone = replace(plan, season=replace(plan.season, chores={chore.id: replace(chore, since=None)}))
    if not tasks_made(alone):
        why = [text for _, _, text in unreached(alone.season, plan.timelines)]
        yield from why or [f"chore {chore.id} makes no task: no cohort of this season is one for it"]


def _standing(season: Season, chore: Chore) -> Iterator[str]:
    """How many tasks of a chore that is taken away stand."""
    count = sum(t.chore == chore.id and (t.state != "open" or t.moved) for t in season.tasks)
    if count:
        tasks = "1 task of it that is" if count == 1 else f"{count} tasks of it that are"
        yield f"{tasks} done, skipped or moved by hand stand{'s' if count == 1 else ''} as before"
