"""Log that something was ordered or asked for: when it is to arrive, and when to ask again."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from typing import TYPE_CHECKING

from shopday.app.dialogs.question_dialog import QuestionDialog
from shopday.shop.parse_moment import parse_day
from shopday.text.times import date_text

if TYPE_CHECKING:
    from shopday.app.session import Session
    from shopday.planning.plan import PlannedStep

NO_WORD = "no word yet"
NOT_SAID = "nobody said when"


class OrderActions:
    """Asks for the dates, logs them, has the shop planned again, and shows what moves."""

    def __init__(self, session: Session) -> None:
        self.session = session

    def ordered(self, step: PlannedStep) -> None:
        if step.kind != "arrives" or step.state == "done":
            self.session.say("That is nothing that waits to be ordered.")
            return
        question = QuestionDialog(
            f"Ordered: {step.name}", "When is it to be here? A day, as the supplier said; press Enter.",
            (NOT_SAID,), self._days, date_text(step.end.date(), self.session.state.now.date()),
        )  # fmt: skip
        self.session.open_dialog(question, lambda typed: self._log("ordered", step, typed))

    def asked(self, step: PlannedStep) -> None:
        if step.kind == "work" or step.state == "done":
            self.session.say("That is nothing that anybody outside could be asked for.")
            return
        question = QuestionDialog(
            f"Asked: {step.name}", "What was promised? A day; and, if you like, when to ask again: "
            "10 Dec, call Tue. Press Enter.",
            (NO_WORD,), self._days,
        )  # fmt: skip
        self.session.open_dialog(question, lambda typed: self._log("asked", step, typed))

    def delayed(self, step: PlannedStep) -> None:
        """Log that it arrives or comes back on another day than expected."""
        if step.state == "done":
            self.session.say(f"{step.full} is here already.")
            return
        question = QuestionDialog(
            f"Now comes on: {step.full}", "Which day? As 18 Dec, Fri or in 2 weeks; press Enter.",
            (), self._days, date_text(step.end.date(), self.session.state.now.date()),
        )  # fmt: skip
        self.session.open_dialog(question, lambda typed: self._log("asked", step, typed))

    def _log(self, kind: str, step: PlannedStep, typed: str | None) -> None:
        if typed is None:
            return
        days = self._days(typed)
        state = self.session.state
        if self.session.attempt(lambda: state.log(kind, step, details=days)):
            told = "".join(self._told(name, day) for name, day in days.items())
            self.session.plan_updates.replan(f"{kind.capitalize()}{told}: {step.name}", show_moves=True)

    def _told(self, name: str, day: dt.date) -> str:
        said = date_text(day, self.session.state.now.date())
        return f", here {said}" if name == "expected" else f", to be asked again by {said}"

    def _days(self, typed: str) -> Mapping[str, dt.date]:
        """Read the day it is expected and, after "call", the day to ask again. Raises ValueError."""
        if typed in (NO_WORD, NOT_SAID):
            return {}
        here, _, call = (piece.strip(" ,") for piece in typed.lower().partition("call"))
        today = self.session.state.now.date()
        said = {"expected": here, "call": call} if call else {"expected": here}
        return {
            name: parse_day(day, today)
            for name, day in said.items()
            if day or (name == "expected" and not call)
        }
