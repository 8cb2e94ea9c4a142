"""Everything that can be done to a step, on any screen: log, pin, report an overrun, change, ask why."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

from shopday.app.dialogs.form_dialog import REMOVE, Fields, SeenFile
from shopday.app.dialogs.question_dialog import QuestionDialog
from shopday.planning.encoding.progress import progress
from shopday.shop import quantities
from shopday.shop.editing.file_edits import remove_step, set_step_fields
from shopday.shop.faults import ShopdayError
from shopday.shop.parse_past import parse_past
from shopday.text.durations import minutes_text, work_text
from shopday.text.sentences import both, sentence
from shopday.text.times import moment_text

if TYPE_CHECKING:
    from shopday.app.session import Session
    from shopday.journal.facts import Fact
    from shopday.planning.fact_logging.readiness import NotReady
    from shopday.planning.plan import PlannedStep
    from shopday.shop.models import Gear, Person, Station, Step

LOGGED = {
    "start": "Started",
    "pause": "Put down",
    "finish": "Finished",
    "skip": "Not needed",
    "again": "One more pass",
    "arrived": "Arrived",
}
"""What is told after each kind of fact."""

ANYWAY = "Start anyway"


class StepActions:
    """Asks what must be asked, changes the journal or a file, and has the shop planned again."""

    def __init__(self, session: Session) -> None:
        self.session = session

    def do(self, action: str | None, step: PlannedStep) -> None:
        """Do what was chosen in the step's dialog; nothing for None, as the dialog was left."""
        if action in LOGGED:
            self.log(action, step)
        elif action is not None:
            getattr(self, action)(step)

    def log(self, kind: str, step: PlannedStep, at: dt.datetime | None = None, anyway: bool = False) -> None:
        """Log that something happened, now or at a time. A further pass shows what it moves before it is kept; a
        step that may not be started yet needs a confirmation."""
        from shopday.planning.fact_logging.fact_text import fact_label
        from shopday.planning.fact_logging.readiness import NotReady

        try:
            fact = self.session.state.log(kind, step, at, anyway)
        except NotReady as not_ready:
            self._ask_anyway(step, at, not_ready)
        except (ShopdayError, OSError) as error:
            self.session.say(str(error), "error")
        else:
            told = f"{LOGGED[kind]}: {fact_label(self.session.state.open_shop, fact)}"
            beside = self._in_hand(fact, step) if kind == "start" else []
            told += f", beside {both(beside)}: they share the minutes" if beside else ""
            left_open = self.session.state.open_shop.left_open(fact).removesuffix(".")
            told += f". {left_open}" if left_open else ""
            self.session.plan_updates.replan(told, show_moves=kind == "again")

    def _in_hand(self, fact: Fact, step: PlannedStep) -> list[str]:
        """The other steps that these people have in hand, in words."""
        plan, people = self.session.state.plan, set(fact.data.get("people", ()))
        others = (row for row in (plan.steps if plan else ()) if row.in_hand and row.key != step.key)
        return [row.full for row in others if people & set(row.people)]

    def _ask_anyway(self, step: PlannedStep, at: dt.datetime | None, not_ready: NotReady) -> None:
        until = not_ready.until
        later = f" It may start from {moment_text(until, self.session.state.now)} on." if until else ""
        question = QuestionDialog(
            f"{not_ready.label} may not start yet", sentence(not_ready.why) + later, (ANYWAY,), leave="Leave it"
        )  # fmt: skip
        self.session.open_dialog(question, lambda said: self.log("start", step, at, True) if said else None)

    def put_down(self, step: PlannedStep) -> None:
        """Pause a step in hand, or resume a paused one."""
        self.log("start" if step.put_down else "pause", step)

    def start_at(self, step: PlannedStep) -> None:
        self._ask_when("start", step, step.start if step.state != "planned" and not step.put_down else None)

    def finish_at(self, step: PlannedStep) -> None:
        self._ask_when("finish", step, step.end if step.state in ("waiting", "done") else None)

    def _ask_when(self, kind: str, step: PlannedStep, logged: dt.datetime | None) -> None:
        """Ask for a time, then log the fact, or correct the time that was logged. Errors are shown in the dialog."""
        open_shop, now = self.session.state.open_shop, self.session.state.now

        def check(typed: str) -> None:
            at = parse_past(typed, now)
            open_shop.entry(kind, step.address, at, pass_no=step.pass_no, corrects=logged is not None)

        def take(typed: str | None) -> None:
            if typed is not None and logged is None:
                self.log(kind, step, parse_past(typed, now))
            elif typed is not None:
                self._correct(kind, step, parse_past(typed, now))

        question = QuestionDialog(
            f"When was {step.full} {kind}ed?", "8:45, -20m, yesterday 16:00, Tue 14:00; press Enter.", (), check,
            "" if logged is None else moment_text(logged, now),
        )  # fmt: skip
        self.session.open_dialog(question, take)

    def _correct(self, kind: str, step: PlannedStep, at: dt.datetime) -> None:
        state = self.session.state
        if self.session.attempt(
            lambda: state.add_fact(state.open_shop.correct(kind, step.address, at, step.pass_no))
        ):
            self.session.plan_updates.replan(f"Corrected: {step.label} {kind}ed {moment_text(at, state.now)}")

    # ------------------------------------------------------------ questions about a step

    def show_step(self, step: PlannedStep) -> None:
        from shopday.app.dialogs.step_dialog import StepDialog
        from shopday.planning.questions.gone_work import gone_work
        from shopday.planning.questions.worked_days import so_far

        state = self.session.state
        own = self._written(step)
        noted = own.noted() if own is not None else []
        assert state.plan is not None  # it shows the step
        gone = gone_work(state.open_shop) if step.stands != "planned" else ()
        stands = so_far(state.plan, step, state.now, gone)
        dialog = StepDialog(step, state.now, self.names(), noted, stands, lambda: self._cautions(step))
        self.session.open_dialog(dialog, lambda action: self.do(action, step))

    def _written(self, step: PlannedStep) -> Step | None:
        """The step as it stands in its file; None if it has gone or changed since."""
        job = self.session.state.open_shop.folder.jobs.get(step.job)
        return job.step_at(step.part, step.step) if job is not None else None

    def note(self, step: PlannedStep) -> None:
        """Ask for a note on a step, in a line of text."""
        own = self._written(step)
        question = QuestionDialog(
            f"Note on {step.full}", "What is to be remembered? Nothing takes the note away; press Enter.",
            (), str, own.note if own is not None else "",
        )  # fmt: skip
        self.session.open_dialog(question, lambda typed: self._noted(step, typed))

    def _noted(self, step: PlannedStep, typed: str | None) -> None:
        """Write the note without asking, as it moves nothing."""
        if typed is None:
            return
        path, fields = self.session.job_actions.path(step.job), {"note": typed.strip() or None}
        what = f"Note on {step.label}"
        self.session.job_actions.edit(
            path, what, lambda: set_step_fields(path, step.part, step.step, fields), show=False
        )

    def names(self) -> dict[str, str]:
        """The names of people, stations and gear, by id."""
        shop = self.session.state.open_shop.folder.shop
        things: tuple[Person | Station | Gear, ...] = (*shop.people, *shop.stations, *shop.gear)
        return {thing.id: thing.name for thing in things if thing.name}

    def _cautions(self, step: PlannedStep) -> list[str]:
        """Cautions, concerns, cold, and why a cure takes as long as it does."""
        from shopday.planning.fact_logging.pins import pinned
        from shopday.planning.questions.batches import batches
        from shopday.planning.questions.concerns import step_concerns
        from shopday.planning.questions.step_cautions import cautions, cure_note, too_cold

        open_shop, plan = self.session.state.open_shop, self.session.state.plan
        if plan is None or step.kind != "work":
            return []
        notes = [
            "pinned: goes first until it is started; i unpins it" if pinned(open_shop, step) else "",
            too_cold(open_shop, plan, step),
            *(batch.text for batch in batches(open_shop, plan) if step in batch.steps),
            *map(sentence, step_concerns(open_shop, plan, step)),
            *(cure_note(open_shop, plan, step, wait) for wait in step.waits),
        ]
        return [*filter(None, notes), *cautions(open_shop, step)]

    def why(self, step: PlannedStep) -> None:
        from shopday.app.dialogs.why_dialog import WhyDialog

        title = f"Why {step.label} at {moment_text(step.start, self.session.state.now)}?"
        plan_updates = self.session.plan_updates
        dialog = WhyDialog(title, lambda asker: plan_updates.explain(step, asker))
        self.session.open_dialog(dialog, lambda _: plan_updates.stop_explaining())

    # ------------------------------------------------------------ changes to a step

    def overrun(self, step: PlannedStep) -> None:
        """Ask how much work is left of a step that takes longer; for an absence, on which day it ends."""
        if step.kind != "work":
            from shopday.app.actions.order_actions import OrderActions

            OrderActions(self.session).delayed(step)
            return
        question = QuestionDialog(
            f"{step.label} takes longer", "How much work is left from now? Tap one, or type it and press Enter.",
            ("15m", "30m", "1h", "2h", "4h"), quantities.minutes,
        )  # fmt: skip
        self.session.open_dialog(question, lambda typed: self._overrun(step, typed))

    def _overrun(self, step: PlannedStep, typed: str | None) -> None:
        if typed is None:
            return
        done = progress(step, self.session.state.now).worked if step.state == "under way" else 0
        minutes = done + quantities.minutes(typed)
        self.edit_step(step, {"hands_on": minutes_text(minutes)}, f"{step.label} takes {work_text(minutes)}")

    def pin(self, step: PlannedStep) -> None:
        """Ask when the step must start, and fix its start; the rest moves round it."""
        from shopday.app.actions.pin_actions import PinActions

        PinActions(self.session).pin(step)

    def change(self, step: PlannedStep) -> None:
        """Open the form for the step's fields."""
        from shopday.app.forms.step_form import step_form

        seen = self.session.job_actions.seen(self.session.job_actions.path(step.job))
        folder = self.session.state.open_shop.folder
        job = folder.jobs.get(step.job)
        if job is not None:
            form = step_form(step, job, folder.shop.stations, seen, self.session.state.now.date())
            self.session.open_dialog(form, lambda fields: self._changed(step, fields, seen))

    def _changed(self, step: PlannedStep, fields: Fields | None, seen: SeenFile) -> None:
        if fields:
            self.edit_step(step, fields, f"Changed: {step.label}", seen.content)

    def ordered(self, step: PlannedStep) -> None:
        """Log that it was ordered, after asking for the day it arrives."""
        from shopday.app.actions.order_actions import OrderActions

        OrderActions(self.session).ordered(step)

    def rework(self, step: PlannedStep) -> None:
        """Log that a finish must be sanded back or cut out, with passes to repeat."""
        from shopday.app.actions.measured_actions import MeasuredActions

        MeasuredActions(self.session).rework(step)

    def tested(self, step: PlannedStep) -> None:
        """Log what a test of a wait has shown."""
        from shopday.app.actions.measured_actions import MeasuredActions

        MeasuredActions(self.session).tested(step)

    def moisture(self, step: PlannedStep) -> None:
        """Log what the meter shows."""
        from shopday.app.actions.measured_actions import MeasuredActions

        MeasuredActions(self.session).moisture(step)

    def asked(self, step: PlannedStep) -> None:
        """Log that somebody outside was asked when it comes."""
        from shopday.app.actions.order_actions import OrderActions

        OrderActions(self.session).asked(step)

    def edit_step(self, step: PlannedStep, fields: Fields, what: str, seen: bytes | None = None) -> None:
        """Write fields of a step to its job's file and show what moves; REMOVE deletes the step.

        seen: what the file held when the person looked at it, if that was a while ago.
        """
        path = self.session.job_actions.path(step.job)
        if fields is REMOVE:
            self.session.job_actions.edit(
                path, f"Removed: {step.name}", lambda: remove_step(path, step.part, step.step, seen)
            )
        else:
            self.session.job_actions.edit(
                path, what, lambda: set_step_fields(path, step.part, step.step, fields, seen)
            )
