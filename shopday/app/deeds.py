"""Everything that can be done to a step or a job, wherever it is chosen: log, pin, overrun, change, ask why."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

from shopday.app import moments, words
from shopday.app.ask import Question
from shopday.app.day_rows import job_title
from shopday.app.form import REMOVE, Fields
from shopday.shop import quantities
from shopday.shop.writing import remove_step, set_step_fields

if TYPE_CHECKING:
    from shopday.app.app import ShopdayApp
    from shopday.planning.plan import PlannedStep

LOGGED = {"start": "Started", "finish": "Finished", "again": "Another pass", "arrived": "Arrived"}
"""What is told after each fact."""


NO_PIN = "take the pin out"


class Deeds:
    """Done for the app: asks what must be asked, changes journal or file, and has it planned."""

    def __init__(self, app: ShopdayApp) -> None:
        self.app = app

    def do(self, deed: str | None, step: PlannedStep) -> None:
        """One of the step card's deeds; None: the card was left."""
        if deed in LOGGED:
            self.log(deed, step)
        elif deed is not None:
            getattr(self, deed)(step)

    def log(self, kind: str, step: PlannedStep) -> None:
        """Put in the journal that something happened now; another pass shows what it moves first."""
        if self.app.attempt(lambda: self.app.desk.log(kind, step.address)):
            self.app.plans.anew(f"{LOGGED[kind]}: {step.label}", show_moves=kind == "again")

    # ------------------------------------------------------------ questions about a step

    def card(self, step: PlannedStep) -> None:
        from shopday.app.step_card import StepCard

        desk = self.app.desk
        title = job_title(desk.plan, step.job) if desk.plan else step.job
        card = StepCard(step, title, desk.now, self._minds(step))
        self.app.push_screen(card, lambda deed: self.do(deed, step))

    def _minds(self, step: PlannedStep) -> list[str]:
        """Cautions, cold, and why a cure takes as long as it does."""
        from shopday.planning.minding import cautions, cure_note, too_cold

        workshop, plan = self.app.desk.workshop, self.app.desk.plan
        if plan is None or step.kind != "work":
            return []
        notes = [
            too_cold(workshop, plan, step),
            *(cure_note(workshop, plan, step, wait) for wait in step.waits),
        ]
        return [*filter(None, notes), *cautions(workshop, step)]

    def why(self, step: PlannedStep) -> None:
        from shopday.app.why_screen import WhyScreen
        from shopday.planning.why import why

        desk = self.app.desk
        if desk.plan is not None:
            reasons = why(desk.workshop, desk.plan, step.address, step.pass_no)
            title = f"Why {step.label} at {words.when(step.start, desk.now)}?"
            screen = WhyScreen(title, reasons, lambda: self.app.plans.help(step.job))
            self.app.push_screen(screen, lambda _: self.app.plans.leave_help())

    # ------------------------------------------------------------ changes to a step

    def overrun(self, step: PlannedStep) -> None:
        """It takes longer than written: how much is still to do?"""
        question = Question(
            f"{step.label} takes longer", "How much work is left from now? Tap one, or type it and press Enter.",
            ("15m", "30m", "1h", "2h", "4h"), quantities.minutes,
        )  # fmt: skip
        self.app.push_screen(question, lambda typed: self._overrun(step, typed))

    def _overrun(self, step: PlannedStep, typed: str | None) -> None:
        if typed is None:
            return
        done = _worked_so_far(step, self.app.desk.now)
        text = quantities.minutes_text(done + quantities.minutes(typed))
        self.edit_step(step, {"hands_on": text}, f"{step.label} takes {text}")

    def pin(self, step: PlannedStep) -> None:
        """Fix its start; the rest moves round it."""
        question = Question(
            f"Pin {step.label}", "When must it start? A time, a day, or both: 14:00, thu, thu 10:00. The rest moves round it.",
            ("tomorrow", NO_PIN), self._pin_time,
        )  # fmt: skip
        self.app.push_screen(question, lambda typed: self._pin(step, typed))

    def _pin(self, step: PlannedStep, typed: str | None) -> None:
        """A pin is an appointment written in the job's file."""
        if typed is None:
            return
        now = self.app.desk.now
        if typed == NO_PIN:
            self.edit_step(step, {"on": None}, f"No pin any more: {step.label}")
            return
        found: list[dt.datetime] = []
        if self.app.attempt(lambda: found.append(self._pin_time(typed))):
            what = f"Pinned to {words.when(found[0].replace(tzinfo=now.tzinfo), now)}: {step.label}"
            self.edit_step(step, {"on": found[0]}, what)

    def _pin_time(self, typed: str) -> dt.datetime:
        desk = self.app.desk
        return desk.start_on(*moments.moment(typed, desk.now))

    def change(self, step: PlannedStep) -> None:
        """Its own fields, in a form."""
        from shopday.app.step_form import step_form

        job = self.app.desk.workshop.folder.jobs.get(step.job)
        if job is not None:
            self.app.push_screen(step_form(step, job), lambda fields: self._changed(step, fields))

    def _changed(self, step: PlannedStep, fields: Fields | None) -> None:
        if fields:
            self.edit_step(step, fields, f"Changed: {step.label}")

    def edit_step(self, step: PlannedStep, fields: Fields, what: str) -> None:
        """Write fields of a step in its job's file and show what moves; REMOVE takes the step out."""
        path = self.app.jobs.path(step.job)
        if fields is REMOVE:
            self.app.jobs.edit(path, f"Removed: {step.name}", lambda: remove_step(path, step.part, step.step))
        else:
            self.app.jobs.edit(path, what, lambda: set_step_fields(path, step.part, step.step, fields))


def _worked_so_far(step: PlannedStep, now: dt.datetime) -> int:
    """Minutes since it was started, in its stretches where the plan has them."""
    worked = sum(words.between(a, min(b, now)) for a, b in step.stretches if a < now)
    return round(worked or max(0.0, words.between(step.start, now))) if step.state == "under way" else 0
