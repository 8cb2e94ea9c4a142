"""The session: what screens, dialogs and actions know of the app. It holds the state of the shop, changes it, has it
planned, and reports the result."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from functools import cached_property
from pathlib import Path
from time import monotonic
from typing import TYPE_CHECKING, Any, Literal, TypeVar

from textual.app import App
from textual.message import Message
from textual.screen import ScreenResultCallbackType

from shopday.app.actions.plan_updates import PlanUpdates
from shopday.app.dialogs.dialog import Dialog
from shopday.app.protocol import Planner
from shopday.app.rows.move_text import BAD
from shopday.app.session_messages import FilesChanged, SessionChanged
from shopday.app.session_state import SessionState
from shopday.shop.faults import ShopdayError
from shopday.text.safe import clean
from shopday.text.sentences import sentence
from shopday.text.times import moment_text

if TYPE_CHECKING:
    from shopday.app.actions.job_actions import JobActions
    from shopday.app.actions.step_actions import StepActions
    from shopday.app.undo_list import Change

T = TypeVar("T")

UNDONE_UNASKED = dt.timedelta(minutes=5)
"""Changes younger than this are undone without a question."""

NEWS_STAYS = dt.timedelta(minutes=3)
"""How long news stay on the screen."""


class Session:
    """The state of the shop and what can be done with it. It alone knows the app, which shows screens and toasts.

    state:        the shop and the plan on the screen.
    plan_updates: the questions to the planner.
    news:         one line.
    """

    def __init__(self, app: App[Any], planner: Planner) -> None:
        self._app = app
        self.state = SessionState()
        self.plan_updates = PlanUpdates(self, planner)
        self.news, self.offer = "Working out the day", ""
        self._news_since: dt.datetime | None = None
        self._file_troubles: tuple[str, ...] = ()
        self._dialogs: dict[str, Dialog[Any]] = {}
        self._toasts: dict[str, float] = {}

    @cached_property
    def step_actions(self) -> StepActions:
        from shopday.app.actions.step_actions import StepActions  # not before the first picture

        return StepActions(self)

    @cached_property
    def job_actions(self) -> JobActions:
        from shopday.app.actions.job_actions import JobActions  # not before the first picture

        return JobActions(self)

    # ------------------------------------------------------------ what is told

    def changed(self, message: Message | None = None) -> None:
        """Tell the screen on top; while the app closes there is none."""
        if self._app.screen_stack:
            self._app.screen.post_message(message or SessionChanged())

    def tell(self, news: str) -> None:
        """Show one line of news above the keys."""
        self.news, self._news_since = news, None if self.state.empty else self.state.clock
        self.changed()

    def show_offer(self, offer: str) -> None:
        """Show in its own line what a better plan gains; "" if none is offered."""
        if offer != self.offer:
            self.offer = offer
            self.changed()

    def drop_old_news(self) -> None:
        """Clear news that has been read by now, but not that a file cannot be read, as that is still true."""
        since = self._news_since
        if since is not None and not self._file_troubles and self.state.clock - since >= NEWS_STAYS:
            self.tell("")

    def leave(self) -> None:
        """Forget good news when the person goes elsewhere, where they would be taken for news of that place; bad news
        stays its time. The screen that is opened draws them."""
        if self._news_since is not None and not self._file_troubles and not self.news.startswith(BAD):
            self.news, self._news_since = "", None

    def say(self, text: str, severity: Literal["information", "warning", "error"] = "information") -> None:
        """Show a toast; text that people typed is shown literally. A toast that is still visible is not shown again,
        as a refused key may be pressed a hundred times."""
        now, stays = monotonic(), self._app.NOTIFICATION_TIMEOUT
        self._toasts = {said: since for said, since in self._toasts.items() if now - since < stays}
        if text not in self._toasts:
            self._toasts[text] = now
            self._app.notify(clean(text), severity=severity, markup=False, timeout=stays)

    def copy(self, text: str) -> None:
        """Copy a text to the clipboard, and show it, as not every terminal lets a program use the clipboard."""
        self._app.copy_to_clipboard(text)
        self.tell(f"Copied, where the terminal allows it: {text}")

    # ------------------------------------------------------------ what is done

    def attempt(self, change: Callable[[], object]) -> bool:
        """Do what a person asked for; False, with a toast, if that is not possible."""
        try:
            change()
        except (ShopdayError, OSError) as error:
            self.say(str(error), "error")
            return False
        return True

    def open_dialog(self, dialog: Dialog[T], done: ScreenResultCallbackType[T] | None = None) -> None:
        """Show a dialog. done: receives its result."""
        kept = self._dialogs.setdefault(dialog.kind, dialog)
        if kept is dialog:
            self._app.install_screen(dialog, dialog.kind)
        elif kept in self._app.screen_stack:
            kept = dialog
        else:
            kept.take_over(dialog)
        self._app.push_screen(kept, done)

    def edit_by_hand(self, path: Path) -> None:
        """Open the file in the person's editor. Raises ShopdayError if there is no editor to open."""
        from shopday.app.actions.external_editor import run_editor  # not before the first picture

        run_editor(self._app, path)

    def open_page(self, path: Path) -> None:
        """Open a page in the browser, where it can be printed, if there is one."""
        self._app.open_url(path.resolve().as_uri())

    def check_files(self) -> None:
        """Read what has changed on disk, whoever changed it; a file that cannot be read is reported once."""
        try:
            changed = self.state.open_shop.refresh()
            faults = (str(faults[0]) for faults in self.state.open_shop.folder.faulty.values())
            shop = self.state.open_shop
            troubles = tuple(filter(None, (*faults, *shop.journal_risks(), shop.unsaved_facts())))
        except ShopdayError as error:
            changed, troubles = False, (str(error).splitlines()[0],)
        new = [trouble for trouble in troubles if trouble not in self._file_troubles]
        if changed:
            self.plan_updates.replan(new[0] if new else "The shop's files changed")
            self.changed(FilesChanged())
        elif troubles != self._file_troubles:
            self.tell(next(iter((*new, *troubles)), ""))
        self._file_troubles = troubles

    def undo(self) -> None:
        """Undo the last change and plan again; an older change is named and asked about first."""
        found: list[Change | None] = []
        if not self.attempt(lambda: found.append(self.state.to_undo())):
            return
        change, now = found[0], self.state.now
        if change is None:
            self.say("Nothing was done yet that could be undone.")
        elif now - change.at <= UNDONE_UNASKED:
            self.undo_change(change)
        else:
            from shopday.app.dialogs.question_dialog import QuestionDialog

            done = f"{sentence(change.what)} It was done {moment_text(change.at, now)}."
            question = QuestionDialog("Undo this?", done, ("Undo it",), leave="Leave it")
            self.open_dialog(question, lambda said: self.undo_change(change) if said else None)

    def undo_change(self, change: Change) -> None:
        if self.attempt(lambda: self.state.undo(change)):
            self.plan_updates.replan(f"Undone: {change.what} (U redoes it)")

    def redo(self) -> None:
        """Redo what was undone last."""
        redone: list[str] = []
        if self.attempt(lambda: redone.append(self.state.redo())):
            self.plan_updates.replan(f"Redone: {redone[0]}")

    def use_better_plan(self) -> None:
        """Replace the plan on the screen by the offered one."""
        better = self.state.better
        if better is None:
            self.tell("There is no better plan than this one yet.")
        elif self.attempt(lambda: self.state.use_better(better)):
            self.plan_updates.show(better)
            self.show_offer("")
            self.tell("Using the better plan.")
            self.plan_updates.replan_as_time_passes()
