"""Asks for plans, and shows them without reordering the day that the person is looking at."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from time import monotonic
from typing import TYPE_CHECKING

from shopday.app.protocol import FIRST, Planner, PlannerAnswer, PlannerQuestion
from shopday.app.rows.move_text import BAD, change_lines, move_summary, offer_summary
from shopday.app.session_messages import QuestionAnswered
from shopday.app.session_state import same_day
from shopday.planning.questions.plan_changes import delivery_moves

if TYPE_CHECKING:
    from textual.content import Content
    from textual.message_pump import MessagePump

    from shopday.app.session import Session
    from shopday.planning.odds.delivery_odds import Odds
    from shopday.planning.plan import Plan, PlannedStep
    from shopday.planning.questions.dashboard_types import Dashboard, WaitingItem
    from shopday.shop.models import Job


SECONDS_UNSEEN = 1.0
"""Seconds after a reordering of the day in which nobody can have seen it yet."""

SECONDS_BETWEEN_ENDS = 20
"""A planner that dies again sooner than this is not restarted."""


class PlanUpdates:
    """The plan on the screen, and the questions to the planner.

    doing:           what the planner is doing, in a few words.
    reordered_at:    when the day was last reordered, by the `monotonic` clock.
    _other_question: the planner works on a question other than the plan.
    """

    def __init__(self, session: Session, planner: Planner) -> None:
        self.session, self._planner = session, planner
        self._asker: MessagePump | None = None
        self._serial = self._plan_serial = FIRST.serial
        self._quote_serial = self._explanation_serial = 0
        self._before: Plan | None = None
        self._what = ""
        self._mind: tuple[str, ...] = ()
        self._show_moves = self._other_question = False
        self._replanning = True
        self._ended: float | None = None
        self.reordered_at = -SECONDS_UNSEEN
        self.doing = "planning"

    @property
    def just_reordered(self) -> bool:
        """True if a key pressed now may be meant for a row that has just moved."""
        return monotonic() - self.reordered_at < SECONDS_UNSEEN

    @property
    def waits(self) -> Sequence[WaitingItem]:
        return self.session.state.dashboard.waits if self.session.state.dashboard else ()

    def replan(self, what: str = "", show_moves: bool = False, mind: Sequence[str] = ()) -> None:
        """Plan again after a change. show_moves: show what moves and what to mind, and ask whether to keep the
        change."""
        self._before, self._what, self._show_moves = self.session.state.plan, what, show_moves
        self._mind = tuple(mind)
        self._drop_explanation()
        self._replanning, self._other_question = True, False
        self._ask()
        self.session.state.better = self.session.state.odds = None
        self.session.show_offer("")

    def replan_as_time_passes(self, day_begins: bool = False) -> None:
        """Plan again because time has passed."""
        if self._other_question:
            return
        self._replanning, self._before = self.session.state.plan is None, None
        self._ask(day_begins)

    def _ask(self, day_begins: bool = False) -> None:
        self.doing = "planning"
        self._serial += 1
        self._plan_serial = self._serial
        self._planner.ask(PlannerQuestion(self._serial, day_begins=day_begins))

    def quote(self, id: str, job: Job, asker: MessagePump) -> None:
        """Ask what a job not in the shop would do; the answers are posted to `asker`."""
        self._serial += 1
        self._quote_serial = self._serial
        self._other_question, self._asker = True, asker
        self._planner.ask(PlannerQuestion(self._serial, self.session.state.plan, job_id=id, job=job))

    def explain(self, step: PlannedStep, asker: MessagePump) -> None:
        """Ask why a step does not start earlier, and what would help its job most; the answers are posted to
        `asker`."""
        self._serial += 1
        self._explanation_serial = self._serial
        self._other_question, self._asker = True, asker
        self._planner.ask(PlannerQuestion(self._serial, self.session.state.plan, why=step.key))

    def stop_explaining(self) -> None:
        """Return to the plan, which the question interrupted, as its dialog was closed."""
        self._explanation_serial, self._other_question = 0, False
        if self._replanning:  # the first plan since the last change is still to come
            self._ask()
        else:
            self.replan_as_time_passes()

    def _drop_explanation(self) -> None:
        """End the explanation: the shop has changed, so what was being tried no longer fits."""
        if self._other_question and self._explanation_serial == self._serial:
            self._answer_asker(PlannerAnswer(self._serial, trouble="The shop changed: ask again.", last=True))
        self._explanation_serial = 0

    def _answer_asker(self, answer: PlannerAnswer) -> None:
        """Post an answer to the widget that asked."""
        self.doing = "" if answer.last else "working it out"
        self._other_question = not answer.last
        if self._asker is not None:
            self._asker.post_message(QuestionAnswered(answer))

    def answered(self, answer: PlannerAnswer | None) -> None:
        """Take an answer from the planner. None: the planner's process has died."""
        if answer is None:
            self._ended_by_itself()
        elif answer.serial in (self._quote_serial, self._explanation_serial):
            self._answer_asker(answer)
        elif answer.serial == self._plan_serial:
            if answer.trouble:
                self.doing = ""
                self.session.tell(answer.trouble)
                return
            if answer.dashboard is not None:
                self._take_answer(answer, answer.dashboard)
            elif answer.odds is not None:
                self._show_odds(answer.odds)

    def _ended_by_itself(self) -> None:
        """Restart the planner's process, which died, unless it keeps dying."""
        before, self._ended = self._ended, monotonic()
        if before is not None and self._ended - before < SECONDS_BETWEEN_ENDS:
            self.session.say(
                "The planner keeps stopping. Quit and open the app again; nothing is lost.", "error"
            )
            return
        self._planner.start_again()
        self._drop_explanation()
        self._other_question = False
        if not self._replanning:  # the last change was reported already
            self._before = None
        self._ask()
        self.session.tell("The planner had stopped and was started again.")

    def _show_odds(self, odds: Odds) -> None:
        self.session.state.odds = odds
        self.doing = "" if odds.done else f"chances {100 * odds.draws // odds.of} %"
        self.session.changed()

    def _take_answer(self, answer: PlannerAnswer, found: Dashboard) -> None:
        """Show the kept plan; offer a better one in a line."""
        self.doing = "" if answer.last else "looking for a better plan"
        state, old = self.session.state, self.session.state.plan
        if self._replanning or old is None:
            self._replanning = False
            self.show(found)
            self._tell_moves(found.plan)
        else:
            self.show(found)
            if not same_day(old, found.plan, state.now.date()):
                self.reordered_at = monotonic()
            if answer.taken:
                self.session.tell(
                    f"A better plan for the new day is used. {self._difference(old, found.plan)}"
                )
        state.better = answer.offer
        if answer.offer is None:
            self.session.show_offer("")
        else:
            self.session.show_offer(self._difference(found.plan, answer.offer.plan))

    def show(self, found: Dashboard) -> None:
        """Put a plan on the screen."""
        self.session.state.dashboard, self.session.state.better = found, None
        self.session.changed()

    def _tell_moves(self, plan: Plan) -> None:
        if self._before is None:
            self.session.tell("")
            return
        if self._show_moves:
            from shopday.app.dialogs.confirm_moves import ConfirmMoves

            lines = partial(self._lines_since, self._before)
            self.session.open_dialog(ConfirmMoves(self._what, lines, self._mind), self._kept)
        else:
            moves = move_summary(delivery_moves(self._before, plan))
            told = (moves, f"{self._what}.") if moves.startswith(BAD) else (f"{self._what}.", moves)
            self.session.tell(" ".join(told) if self._what else moves)

    def _lines_since(self, before: Plan) -> list[Content]:
        """What is new or has moved from an earlier plan to the one on the screen."""
        state = self.session.state
        return change_lines(before, state.plan, state.now.date()) if state.plan is not None else []

    def _difference(self, old: Plan, plan: Plan) -> str:
        return offer_summary(delivery_moves(old, plan))

    def _kept(self, keep: bool | None) -> None:
        if keep:
            self.session.tell(f"Kept: {self._what}. u undoes it.")
        elif change := self.session.state.to_undo():
            self.session.undo_change(change)
