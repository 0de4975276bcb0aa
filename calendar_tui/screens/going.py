"""The palette over a view, and the ways to what is chosen in it."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from functools import partial
from typing import TYPE_CHECKING, Any, cast

from textual.app import App
from textual.screen import Screen
from textual.widgets import Input

from calendar_tui.language.speaking import phrase
from calendar_tui.screens.kit.actions import BY_ID, own_keys_of, shown_key
from calendar_tui.screens.kit.crew_words import crew_words
from calendar_tui.screens.kit.host import Host
from calendar_tui.screens.kit.key import Key
from calendar_tui.screens.opening_views import ground_of, name_of
from calendar_tui.season.wording import full_day_text

if TYPE_CHECKING:
    from calendar_tui.screens.palette.entries import Entry
    from calendar_tui.screens.season.view import SeasonView

PALETTE = "palette"
# What the ids of keys that move about begin with.
_MOVING = ("chart.",)


async def open_palette(app: App[Any]) -> None:
    """Open it upon a view; not upon itself."""
    if name_of(app.screen) != PALETTE:
        with crew_words(app.screen):
            await cast(Host, app).open_view("palette", tuple(_offered(app)), then=partial(_chosen, app))


def _offered(app: App[Any]) -> Iterator[Key]:
    """The keys that act in the present view, but for those that are refused there; those of any view come after its own,
    and those that only move last.
    """
    own = own_keys_of(app.screen)
    there = {b.binding.id for b in app.screen.active_bindings.values() if b.enabled}
    order = {name: (name.startswith(_MOVING), key.action.startswith("app.")) for name, key in BY_ID.items()}
    for name, key in sorted(BY_ID.items(), key=lambda entry: order[entry[0]]):
        if (
            name in there
            and key.text
            and not (cast(Host, app).refusal and key.edits)
            and key.action != "app.palette"
        ):
            yield own.get(name, key)


def _chosen(app: App[Any], entry: Entry | None) -> None:
    """Go there once the palette is gone."""
    if entry is not None:
        app.call_later(_go, app, entry)


async def _go(app: App[Any], entry: Entry) -> None:
    if entry.kind == "action":
        # A field or list that has the keys binds its own.
        nodes = (b.node for b in app.screen.active_bindings.values() if b.binding.action == entry.goes)
        await app.run_action(entry.goes, next(nodes, app.screen))
        return
    ground, plan = ground_of(app), cast(Host, app).plan
    if ground is None or plan is None:
        return
    if any(map(_is_typed_in, app.screen_stack)):
        back = shown_key(app.screen, "view.escape")
        first = phrase("What is typed here is not saved: go on with it, or {key} first.", key=back)
        app.notify(first, severity="warning")
        return
    while app.screen is not ground:
        app.pop_screen()
    if entry.kind == "task":
        task = next((t for t in plan.season.tasks if t.id == entry.goes), None)
        if task is not None:
            await cast(Host, app).open_view("week", task.date, task.id)
        return
    _stand(app, ground, entry)


def _is_typed_in(screen: Screen[Any]) -> bool:
    """Whether a view holds what would be lost: a field that is typed in, or what was typed in a list of fields."""
    return isinstance(screen.focused, Input) or bool(getattr(screen.focused, "typed", None))


def _stand(app: App[Any], ground: SeasonView, entry: Entry) -> None:
    """On a day, a cohort, or the first that stands in a place."""
    if entry.kind == "date":
        day = date.fromisoformat(entry.goes)
        ground.stand(day)
        if ground.cursor != day:
            app.notify(phrase("{day} is beyond the days of this season.", day=full_day_text(day)))
        return
    plan, name = cast(Host, app).plan, entry.goes
    if entry.kind == "place" and plan is not None:
        cohorts = plan.season.cohorts.values()
        last = [c.id for c in cohorts if c.stays[-1].place == entry.goes]
        ever = [c.id for c in cohorts if any(stay.place == entry.goes for stay in c.stays)]
        name = next(iter((*last, *ever)), "")
        if not name:
            app.notify(phrase("No cohort stands in {place}.", place=entry.goes))
    if name:
        ground.select_record("cohort", (name,))
