"""Pin a step to now, to a time or to a day, and unpin it."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

from shopday.app.dialogs.question_dialog import QuestionDialog
from shopday.shop import parse_moment
from shopday.shop.faults import ShopdayError
from shopday.text.times import moment_text

if TYPE_CHECKING:
    from shopday.app.session import Session
    from shopday.planning.plan import PlannedStep
    from shopday.planning.questions.dashboard_types import Dashboard

NOW, NO_PIN = "now", "unpin it"


class PinActions:
    """Asks for the time, writes it down, has the shop planned again, and shows what moves."""

    def __init__(self, session: Session) -> None:
        self.session = session

    def pin(self, step: PlannedStep) -> None:
        """Ask when the step must start, and fix its start; the rest moves round it."""
        if step.state != "planned":
            self.session.say(f"{step.label} is {step.state} already.")
            return
        answers = (NOW, "tomorrow", *((NO_PIN,) if self._has_pin(step) else ()))
        question = QuestionDialog(
            f"Pin {step.label}", f"When must it start? {NOW}: before all else, until it is begun. Or a time, a day, or both: 14:00, "
            "thu, thu 10:00. The rest moves round it.",
            answers, self._pin_time,
        )  # fmt: skip
        self.session.open_dialog(question, lambda typed: self._pin(step, typed))

    def _has_pin(self, step: PlannedStep) -> bool:
        from shopday.planning.fact_logging.pins import pinned

        open_shop = self.session.state.open_shop
        own = open_shop.folder.jobs[step.job].step_at(step.part, step.step)
        return pinned(open_shop, step) or (own is not None and own.on is not None)

    def _pin(self, step: PlannedStep, typed: str | None) -> None:
        """Pin or unpin. A pin to now is a fact in the journal; one to another time is an appointment in the job's
        file."""
        if typed is None:
            return
        if typed == NO_PIN:
            self._unpin(step)
            return
        if typed.strip().lower() == NOW:
            self.pin_now(step)
            return
        try:
            start = self._pin_time(typed)
        except (ShopdayError, ValueError) as error:
            self.session.say(str(error), "error")
        else:
            self.session.step_actions.edit_step(step, {"on": start}, self._pinned(step, start))

    def _pinned(self, step: PlannedStep, start: dt.datetime) -> str:
        now = self.session.state.now
        return f"Pinned to {moment_text(start.replace(tzinfo=now.tzinfo), now)}: {step.label}"

    def pin_now(self, step: PlannedStep) -> None:
        """Put the step before all others. It must be one that could be started now."""
        from shopday.planning.fact_logging.pins import pin

        state = self.session.state
        if state.dashboard is None or step.key not in _startable(state.dashboard):
            self.session.say(f"{step.label} cannot be started yet; w tells why. Pin it to a day instead.")
            return
        if self.session.attempt(lambda: state.add_fact(pin(state.open_shop, step))):
            self.session.plan_updates.replan(f"Pinned to go first: {step.label}", show_moves=True)

    def _unpin(self, step: PlannedStep) -> None:
        from shopday.planning.fact_logging.pins import pinned, unpin

        state, what = self.session.state, f"Unpinned: {step.full}"
        if not pinned(state.open_shop, step):
            self.session.step_actions.edit_step(step, {"on": None}, what)
        elif self.session.attempt(lambda: state.add_fact(unpin(state.open_shop, step))):
            self.session.plan_updates.replan(what, show_moves=True)

    def _pin_time(self, typed: str) -> dt.datetime:
        state = self.session.state
        if typed.strip().lower() == NOW:
            return state.now
        return state.start_on(*parse_moment.parse_moment(typed, state.now))


def _startable(seen: Dashboard) -> set[tuple[str, int]]:
    """The passes that could be started now: the first one and its alternatives."""
    first = {seen.day.take_up.key} if seen.day.take_up else set()
    return first | {other.step.key for other in seen.day.could_start}
