"""Clashes where they belong, each once: the farm's, a place's, and what many cohorts have alike; then each one's own."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from calendar_tui.planning.clash import Clash
from calendar_tui.season.wording import cohorts_text

# So many cohorts with the same clash have it once, together.
LEAST_ALIKE = 3


@dataclass(frozen=True, slots=True)
class ClashGroup:
    """Clashes that are shown as one.

    of: what it is about, such as "crew: grower", "crowded: H1" or "shock"; place: where it belongs; "" for the farm or for
    cohorts; cohorts: those it touches; clashes: in order of time.
    """

    of: str
    place: str
    cohorts: tuple[str, ...]
    clashes: tuple[Clash, ...]


@dataclass(frozen=True, slots=True)
class ClashesOnce:
    """farm, places, alike: what is shown once, above the cohorts; own: by cohort what only it has; also: what else touches it."""

    farm: tuple[ClashGroup, ...]
    places: tuple[ClashGroup, ...]
    alike: tuple[ClashGroup, ...]
    own: dict[str, tuple[Clash, ...]]
    also: dict[str, tuple[str, ...]]


def clashes_once(clashes: Iterable[Clash], names: Iterable[str]) -> ClashesOnce:
    """The clashes that touch these cohorts. names: their ids, in the order shown."""
    shown = dict.fromkeys(names)
    near = [c for c in clashes if not shown.keys().isdisjoint((*c.cohorts, *c.shown_with))]
    farm = _grouped(c for c in near if not c.cohorts)
    places = _grouped(c for c in near if c.place)
    own: dict[str, list[Clash]] = {name: [] for name in shown}
    for clash in near:
        if clash.own in own:
            own[clash.own].append(clash)
    alike = _alike(own)
    together = {clash for group in alike for clash in group.clashes}
    return ClashesOnce(
        farm,
        places,
        alike,
        {name: tuple(c for c in of if c not in together) for name, of in own.items()},
        _also(shown, (*farm, *places, *alike), near),
    )


def _also(
    names: Iterable[str], groups: Iterable[ClashGroup], clashes: Iterable[Clash]
) -> dict[str, tuple[str, ...]]:
    """What touches each of these cohorts and is shown elsewhere: groups, and clashes of other cohorts."""
    also: dict[str, list[str]] = {name: [] for name in names}
    owners: dict[str, dict[str, list[str]]] = {name: {} for name in also}
    for group in groups:
        for name in group.cohorts:
            if name in also:
                also[name].append(group.of)
    for clash in clashes:
        owner, kind = clash.own, clash.kind
        for name in clash.cohorts[1:] if owner else ():
            if name in owners:
                owners[name].setdefault(kind, []).append(owner)
    for name, kinds in owners.items():
        also[name] += [f"{cohorts_text(of)} {kind}" for kind, of in kinds.items()]
    return {name: tuple(dict.fromkeys(of)) for name, of in also.items()}


def _grouped(clashes: Iterable[Clash]) -> tuple[ClashGroup, ...]:
    """Those about the same thing together, such as all over-full weeks of a role."""
    groups: dict[str, list[Clash]] = {}
    for clash in clashes:
        groups.setdefault(clash.excess.what if clash.excess else clash.kind, []).append(clash)
    return tuple(_group(of, members) for of, members in groups.items())


def alone(clash: Clash) -> ClashGroup:
    """A clash as a group of its own."""
    (group,) = _grouped([clash])
    return group


def _group(of: str, clashes: Sequence[Clash]) -> ClashGroup:
    cohorts = dict.fromkeys(name for c in clashes for name in (*c.cohorts, *c.shown_with))
    return ClashGroup(of, clashes[0].place, tuple(cohorts), tuple(clashes))


def _alike(own: dict[str, list[Clash]]) -> tuple[ClashGroup, ...]:
    """What several cohorts have word for word, but for the name at the beginning."""
    groups: dict[tuple[str, str], list[Clash]] = {}
    for name, clashes in own.items():
        for clash in clashes:
            if clash.text.startswith(f"{name} "):
                groups.setdefault((clash.kind, clash.text.removeprefix(name)), []).append(clash)
    return tuple(
        ClashGroup(kind, "", tuple(clash.own for clash in members), tuple(members))
        for (kind, _), members in groups.items()
        if len(members) >= LEAST_ALIKE
    )
