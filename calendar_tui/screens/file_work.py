"""The file work of the full screen: read, watch, save, undo, in threads and one piece of work after another.

While the file on disk cannot be read, or has problems, what was read last is shown on, and nothing is saved.
"""

from __future__ import annotations

import asyncio
from collections.abc import Callable, Sequence
from functools import partial
from pathlib import Path
from threading import Event, Lock, Thread
from typing import TYPE_CHECKING, Any
from zoneinfo import ZoneInfo

from calendar_tui.language.speaking import phrase, phrase_form
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.upgrades import form_of, is_older
from calendar_tui.storage.opening import Opened, SaveCheck, opened_from, returning_problems
from calendar_tui.storage.problems import FileProblem, SeasonFileError

if TYPE_CHECKING:
    from textual.worker import Worker

    from calendar_tui.planning.plan import Plan
    from calendar_tui.screens.holder import Holder
    from calendar_tui.season.edits import Change
    from calendar_tui.storage.history.stacks import Standing
    from calendar_tui.storage.history.taking_back import Way
    from calendar_tui.storage.watching import News

# How often the files are looked at for what others have changed, in seconds.
LOOK_S = 2.0
MOST_PROBLEMS = 3
_NOTHING = {"undo": phrase_form("Nothing is undone."), "redo": phrase_form("Nothing is redone.")}


class FileWork:
    """trouble: what is wrong with the file by now, while what was read before is shown."""

    def __init__(self, app: Holder) -> None:
        self._app = app
        self.trouble: tuple[FileProblem, ...] = ()
        # One piece of work at a time, so that the plan shown last is the file's last.
        self._lock = Lock()
        self._turns: list[Worker[Any]] = []
        self._stop = Event()
        # What was seen at the last look, and whether the look before it saw the same: a file may be half-written, and
        # two writings may bear one time.
        self._stamp: tuple[int, ...] = ()
        self._settled = False
        self._last = -1

    def in_turn(self, work: Callable[[], None]) -> None:
        """Do file work in a thread, after what was asked for before it."""

        def turn() -> None:
            with self._lock:
                work()

        self._turns = [*self._running(), self._app.run_worker(turn, thread=True, group="file")]

    async def finished(self) -> None:
        """Wait until all file work that was asked for is done, or has failed."""
        while running := self._running():
            await asyncio.gather(*(worker.wait() for worker in running), return_exceptions=True)

    @property
    def runs(self) -> bool:
        """Whether file work runs or waits."""
        return bool(self._running())

    def _running(self) -> list[Worker[Any]]:
        return [worker for worker in self._turns if not worker.is_finished]

    # --- watching

    def watch(self) -> None:
        """Look at the files from now on until `stop`."""
        Thread(target=self._watch, daemon=True).start()

    def stop(self) -> None:
        self._stop.set()

    def _watch(self) -> None:
        while not self._stop.wait(LOOK_S):
            with self._lock:
                if not self._stop.is_set():
                    self.look()

    def look(self, *, surely: bool = False) -> None:
        """Take over what others have changed, and say what and who. In a thread, with the lock.

        surely: tell trouble at once, and not only when the next look sees the same.
        """
        from calendar_tui.storage.watching import stamp_of

        self._look_at_clock()
        if self._app.past is not None:
            return
        now = stamp_of(self._app.opened)
        if now == self._stamp and self._settled:
            return
        self._settled, self._stamp = now == self._stamp, now
        self._read(surely or self._settled)

    def _look_at_clock(self) -> None:
        """Go on to a new day, where the program is open past midnight at the site."""
        app = self._app
        if (day := app.new_day()) is not None:
            app.call_from_thread(app.begin_day, day, app.planned(app.opened, app.plan, day))

    def reload(self, *, quietly: bool = False) -> None:
        """Read the files and draw every view anew. In a thread, with the lock.

        quietly: what is shown is not the season as it is, so what is new in it is not told, and its problems are shown.
        """
        self._read(True, quietly)
        self._app.call_from_thread(self._app.show_plan)

    def _read(self, surely: bool, quietly: bool = False) -> None:
        from calendar_tui.storage.toml_problems import problems_of
        from calendar_tui.storage.watching import News, last_number, read_anew

        held = self._app.opened
        if self._last < 0:
            self._last = last_number(held.path)
        try:
            opened, news = read_anew(held, self._last)
        except SeasonFileError as error:
            opened, news = held._replace(season=None, problems=problems_of(held.path, error)), News()
        if opened.season is None and self._app.plan is not None and not quietly:
            if surely and opened.problems != self.trouble:
                self._tell_trouble(opened.problems)
            return
        mended, self.trouble = bool(self.trouble) or self._app.plan is None, ()
        if opened is held and (not mended or opened.season is None):
            return
        self._last = last_number(held.path)
        if mended and opened.season is not None:
            self._app.call_from_thread(self._app.clear_notifications)  # what was told of the problems
        news_lines = "" if quietly or opened.season is None else self._news_text(news, mended)
        self._show(opened, news_lines)

    def _news_text(self, news: News, mended: bool) -> str:
        from calendar_tui.handing_on.words.news_text import news_text

        lines = [phrase("The file reads well now.")] if mended else []
        # Where nothing could be shown before, there is nothing to compare with.
        has_news = news and self._app.plan is not None
        return "\n".join([*lines, *([news_text(news, self._app.who)] if has_news else [])])

    def _tell_trouble(self, problems: tuple[FileProblem, ...]) -> None:
        self.trouble = problems
        now = phrase("The file has problems now.")
        if not self._app.opened.path.exists():
            now = phrase("The file is gone: it was removed, moved or renamed.")
        shown = phrase("What was read before is shown, and nothing is saved until that is put right:")
        self._refuse(f"{now} {shown}", problems)
        self._app.call_from_thread(self._app.show_plan)

    def look_back(self, n: int) -> None:
        """Show the season as it was right after an entry of its history. In a thread, with the lock."""
        from calendar_tui.screens.kit.past import Past
        from calendar_tui.storage.history.as_it_was import as_it_was_after

        app = self._app
        zone = ZoneInfo("UTC" if app.plan is None else app.plan.season.site.timezone)
        try:
            earlier = as_it_was_after(app.opened.path, n, zone)
        except SeasonFileError as error:
            app.call_from_thread(app.refuse, str(error))
            return
        opened = opened_from(app.opened.path, earlier.text, earlier.data)
        if opened.season is None or earlier.last is None:
            app.call_from_thread(app.refuse, str(SeasonFileError(opened.problems)))
            return
        today = earlier.last.when.astimezone(zone).date()
        plan, past = app.planned(opened, None, today), Past(f"as of change {n}, read-only", earlier.notes)
        app.call_from_thread(app.go_back, opened, plan, past, today)

    # --- saving

    def save(self, change: Change) -> None:
        """Save a change to the file as it is now; a file of an older format is asked about first."""
        refusal = _not_saved(change)
        if not self._writable(refusal):
            return
        if is_older(self._app.opened.data):
            self._ask_to_upgrade(change)
        else:
            self._save(change, refusal)

    def save_made(self, make: Callable[[Plan], Change]) -> None:
        """Save a change made of the season as it is by now, and tell nothing where all is well."""
        if not self._writable("Not saved."):
            return
        plan = self._app.plan
        if plan is None or is_older(self._app.opened.data):
            self._refuse(
                phrase("Not saved: the file is of an older form; save anything else first, which asks."), ()
            )
            return
        try:
            change = make(plan)
        except Refusal as wrong:
            self._refuse(phrase("Not saved: {what}.", what=wrong), ())
            return
        self._save(change, _not_saved(change), quietly=True)

    def _save(self, change: Change, refused: str, *, quietly: bool = False) -> None:
        from calendar_tui.handing_on.words.done_text import done_text
        from calendar_tui.planning.changes.task_edits import settled_before, settled_by_others
        from calendar_tui.storage.season_file import Loaded, save_change

        app = self._app
        if app.opened.season and (why := settled_by_others(change.edits, app.opened.season.tasks)):
            self._refuse(f"{refused}\n{why}.", ())
            return
        read = Loaded(app.opened.path, app.opened.text, app.opened.data)
        check = SaveCheck(app.opened)
        try:
            saved = save_change(
                app.opened.path, change, who=app.who, when=app.now(), check=check, loaded=read
            )
        except SeasonFileError as error:
            self._refuse(refused, error.problems)
            return
        outcome = phrase("No change: already saved.") if saved.n is None else done_text(change)
        told = [] if quietly else [outcome]
        lines = "\n".join((*told, *settled_before(change.edits, saved.back), *saved.warnings))
        self._wrote(check.saved(saved.text, saved.data), saved.n, lines, "undo" if saved.n else "")
        app.call_from_thread(app.stand_on_new, change)

    def take_back(self, way: Way, newest_steps: int = 0) -> None:
        """Undo or redo one's own last change, or the newest of so many steps whosever they are; others' are asked about."""
        from calendar_tui.storage.history.undo import read_history
        from calendar_tui.storage.history.undo_choice import newest, own_first

        app = self._app
        if not self._writable(phrase(_NOTHING[way])):
            return
        choice = newest(way, newest_steps) if newest_steps else own_first(way, 1, app.who, app.now())
        try:
            chosen = choice.pick(app.opened.path, read_history(app.opened.path, choice.enough))
        except SeasonFileError as error:
            self._refuse("", error.problems)
            return
        if any(standing.who != app.who for standing in chosen):
            self._ask_about_others(way, chosen)
        else:
            self._take_back(way, chosen)

    def _ask_about_others(self, way: Way, chosen: Sequence[Standing]) -> None:
        from calendar_tui.handing_on.words.history_text import of_others_lines, question_text

        app = self._app
        lines = of_others_lines(chosen, way, app.who, app.now())
        then = partial(self._answered_about_others, way, chosen)
        app.call_from_thread(
            partial(app.open_view, "others", question_text(way, len(lines)), lines, way, then=then)
        )

    def _answered_about_others(self, way: Way, chosen: Sequence[Standing], yes: bool | None) -> None:
        if yes:
            self.in_turn(partial(self._take_back, way, chosen))
        else:
            self._app.notify(phrase(_NOTHING[way]))

    def _take_back(self, way: Way, chosen: Sequence[Standing]) -> None:
        """Undo or redo these changes, and say which they were."""
        from calendar_tui.handing_on.words.history_text import undone_lines
        from calendar_tui.storage.history.undo import take_back
        from calendar_tui.storage.history.undo_choice import numbered

        app = self._app
        agreed = numbered(way, [s.n for s in chosen], [s.what for s in chosen])
        try:
            undone = take_back(
                app.opened.path, way, agreed, who=app.who, when=app.now(), check=returning_problems
            )
        except SeasonFileError as error:
            self._refuse("", error.problems)
            return
        lines = "\n".join((*undone_lines(undone, way, app.who), *undone.warnings))
        back = "redo" if way == "undo" else "undo"
        self._wrote(opened_from(app.opened.path, undone.text, undone.data), None, lines, back)

    def _writable(self, refused: str) -> bool:
        """Whether the file, as it is now, may be written to; else say that it is not."""
        self.look(surely=True)
        if self.trouble:
            self._refuse(f"{refused} {phrase('The file has problems:')}", self.trouble)
        elif self._app.refusal:
            self._refuse(self._app.refusal, ())
        return not self.trouble and not self._app.refusal

    def _wrote(self, opened: Opened, n: int | None, text: str, back: str) -> None:
        """Show what this program has written, and say what others have done right before it."""
        from calendar_tui.storage.watching import News, entries_between, last_number

        news = ""
        if n is not None and n != self._last + 1:
            news = self._news_text(News(entries_between(opened.path, self._last, n)), mended=False)
        self._last = last_number(opened.path)
        self._show(opened, "\n".join(filter(None, (text, news))), back)

    # --- an older format

    def _ask_to_upgrade(self, change: Change) -> None:
        """Ask before the first save to a file of an older format; the old file is kept."""
        from calendar_tui.storage.upgrading import upgrade_of

        app = self._app
        try:
            upgrade = upgrade_of(app.opened.path)
        except SeasonFileError as error:
            self._refuse(_not_saved(change), error.problems)
            return
        if upgrade is None:  # by somebody else just now
            self._save(change, _not_saved(change))
            return
        shown, then = (upgrade, form_of(app.opened.data) or 0, change.what), partial(self._answered, change)
        # What has asked for the save may be leaving the screen just now.
        app.call_from_thread(app.call_later, partial(app.open_view, "upgrade", *shown, then=then))

    def _answered(self, change: Change, yes: bool | None) -> None:
        if yes:
            self.in_turn(partial(self._upgrade, change))
        else:
            self._app.notify(phrase("Nothing is saved."))
            self.in_turn(self.reload)

    def _upgrade(self, change: Change) -> None:
        from calendar_tui.storage.upgrading import upgrade_season

        app, refused = self._app, _not_saved(change)
        try:
            saved, _ = upgrade_season(app.opened.path, who=app.who, when=app.now())
        except SeasonFileError as error:
            self._refuse(refused, error.problems)
            return
        self._last = saved.n or self._last
        self._save(change, refused)

    # --- showing

    def _show(self, opened: Opened, text: str, back: str = "") -> None:
        app = self._app
        app.call_from_thread(app.take, opened, app.planned(opened, app.plan), text, back)

    def _refuse(self, text: str, problems: Sequence[FileProblem]) -> None:
        named = [_in_short(problem, self._app.opened.path) for problem in problems[:MOST_PROBLEMS]]
        more = len(problems) - len(named)
        lines = [text, *named, *([f"and {more} more"] if more else [])]
        text = "\n".join(filter(None, lines))
        self._app.call_from_thread(self._app.refuse, text)


def _in_short(problem: FileProblem, shown: Path) -> str:
    """The problem with its line, without folders; one of the whole file that is shown needs no name."""
    if problem.line is None and problem.file == str(shown):
        return problem.message[:1].upper() + problem.message[1:]
    return str(problem._replace(file=Path(problem.file).name))


def _not_saved(change: Change) -> str:
    return phrase("Not saved: {what}.", what=change.what)
