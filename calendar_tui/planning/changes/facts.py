"""What was found with work: one text for all, one for each cohort, or what was planned of each."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import NamedTuple

from calendar_tui.language.speaking import phrase
from calendar_tui.planning.tasks.amounts import amount_of_cohort
from calendar_tui.season.readers import near
from calendar_tui.season.records import Season, Task
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.wording import cohorts_text

# What stands for a cohort's own amount until it is written down, and how it may be typed.
AS_PLANNED = "as planned"
_TYPED_AS_PLANNED = ("=", AS_PLANNED)
_NAMED = re.compile(r"(?<!\S)([\w-]+)\s*=")


@dataclass(frozen=True, slots=True)
class Facts:
    """What was found as typed: of the cohorts that are named, and of all others; "" for nothing."""

    of_others: str = ""
    by_cohort: Mapping[str, str] = field(default_factory=dict)

    def of(self, cohort: str) -> str:
        return self.by_cohort.get(cohort, self.of_others)


def typed_facts(texts: Iterable[str], season: Season, cohorts: Collection[str]) -> Facts:
    """What was typed: "118 alive", "=" or "as planned", "A2=23 A5=0" for single cohorts, or both one behind the other.

    cohorts: those that the work is of. Raises Refusal for another cohort, and for what is said twice.
    """
    of_others, by_cohort = "", dict[str, str]()
    for name, fact in (part for text in texts for part in _parts(season, text)):
        if not name and of_others and fact:
            one = next(iter(cohorts), "A2")
            raise Refusal(
                phrase(
                    '"{one}" and "{other}" are both for all; name the cohort of one, such as {cohort}="{other}"',
                    one=of_others,
                    other=fact,
                    cohort=one,
                )
            )
        if name and name not in cohorts:
            raise Refusal(
                phrase(
                    "{cohort}={fact}: this work is not of {cohort}. It is of {cohorts}",
                    cohort=name,
                    fact=fact,
                    cohorts=cohorts_text(tuple(cohorts)),
                )
            )
        if name in by_cohort:
            raise Refusal(
                phrase(
                    '{cohort} is given twice, "{one}" and "{other}"; write one of them',
                    cohort=name,
                    one=by_cohort[name],
                    other=fact,
                )
            )
        if name and not fact:
            raise Refusal(
                phrase(
                    "{cohort}= has nothing behind it; write what was found, such as {cohort}=23", cohort=name
                )
            )
        if name:
            by_cohort[name] = fact
        else:
            of_others = of_others or fact
    return Facts(of_others, by_cohort)


def _parts(season: Season, text: str) -> Iterator[tuple[str, str]]:
    """The cohorts that a text names, each with what is behind it; first what is before them, under ""."""
    known = {name.casefold(): name for name in season.cohorts}
    named = []
    for match in _NAMED.finditer(text):
        if match[1].casefold() in known:
            named.append(match)
        else:
            _refuse_slip(match[1], known)
    ends = [*(m.start() for m in named), len(text)]
    yield "", _plain(text[: ends[0]])
    for match, end in zip(named, ends[1:], strict=True):
        yield known[match[1].casefold()], _plain(text[match.end() : end])


def _refuse_slip(word: str, known: Mapping[str, str]) -> None:
    """Refuse a word that looks like a cohort's name with a slip; others, such as pH, are text."""
    if any(map(str.isdigit, word)) and (guess := near(word, known.values())):
        raise Refusal(f"{word}= names no cohort of this season{guess}")


def _plain(typed: str) -> str:
    words = " ".join(typed.split())
    return AS_PLANNED if words.casefold() in _TYPED_AS_PLANNED else words


def own_amount(season: Season, task: Task, cohort: str = "") -> str:
    """What was planned of a cohort with a task, such as "24 plants"; "" where that is not known."""
    chore = season.chores.get(task.chore)
    if task.amount and len(task.about) < 2:
        return task.amount
    return amount_of_cohort(season, chore, season.cohorts[cohort]) if cohort in season.cohorts else ""


class Found(NamedTuple):
    """What was found of cohorts, of each the same; without names of all that the work is of, together."""

    names: tuple[str, ...]
    fact: str


def found_of(season: Season, task: Task, by_cohort: Mapping[str, str]) -> tuple[Found, ...]:
    """What is written down with a task, alike ones together; () for nothing.

    by_cohort: what was found of its cohorts, or of some of them; under "" where it has none. The same text for all is
    taken as it stands. Raises Refusal where nothing was planned.
    """
    given = {name: by_cohort[name] for name in task.about or ("",) if by_cohort.get(name)}
    if len(set(given.values())) == 1 and len(given) == len(set(by_cohort) & set(task.about or ("",))):
        same = next(iter(given.values()))
        if same != AS_PLANNED:
            return (Found(task.about if len(task.about) < 2 else (), same),)
    by_fact: dict[str, list[str]] = {}
    for name, fact in given.items():
        own = _own(season, task, name) if fact == AS_PLANNED else fact
        by_fact.setdefault(own, []).append(name)
    return tuple(Found(tuple(names), fact) for fact, names in by_fact.items())


def fact_with(season: Season, task: Task, facts: Facts) -> str:
    """What is written down with a task of what was typed."""
    return fact_of(task, found_of(season, task, {name: facts.of(name) for name in task.about or ("",)}))


def fact_of(task: Task, found: Sequence[Found]) -> str:
    """The text that is written down: "24 plants", "24 plants each", "A1 A2: 24 plants each; B1: 23", or ""."""
    if len(task.about) < 2 or not found or not found[0].names:
        return found[0].fact if found else ""
    if len(found[0].names) == len(task.about):
        return f"{found[0].fact} each"
    return "; ".join(f"{' '.join(names)}: {_each(names, fact)}" for names, fact in found)


def _each(names: Sequence[str], fact: str) -> str:
    return f"{fact} each" if len(names) > 1 else fact


def _own(season: Season, task: Task, cohort: str) -> str:
    if amount := own_amount(season, task, cohort):
        return amount
    whose = f"{cohort} {task.what}" if cohort else task.what
    raise Refusal(
        phrase(
            '{work}: no amount is planned, so "{typed}" does not apply; type what was found',
            work=whose,
            typed=AS_PLANNED,
        )
    )


def found_text(found: Iterable[Found]) -> str:
    """What was found in several tasks, alike once: "24 plants each", or "A1 A2: 24 plants each; B1: 23"; "" for nothing."""
    by_fact: dict[str, list[str]] = {}
    for names, fact in found:
        by_fact.setdefault(fact, []).extend(names)
    if len(by_fact) == 1:
        return "".join(_each(names, fact) for fact, names in by_fact.items())
    parts = [(cohorts_text(names), _each(names, fact)) for fact, names in by_fact.items()]
    return "; ".join(f"{names}: {fact}" if names else fact for names, fact in parts)


def offered_text(amounts: Iterable[str]) -> str:
    """The cohorts' own amounts, alike once: "24 plants", or "24 plants (17 cohorts), 12 plants (1)"; "" without any."""
    counts: dict[str, int] = {}
    for amount in filter(None, amounts):
        counts[amount] = counts.get(amount, 0) + 1
    if len(counts) < 2:
        return next(iter(counts), "")
    return ", ".join(f"{amount} ({count})" for amount, count in counts.items())
