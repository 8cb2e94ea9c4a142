"""Asking for plans and taking them up without shuffling the day somebody is looking at."""

from __future__ import annotations

from collections.abc import Sequence
from time import monotonic
from typing import TYPE_CHECKING

from shopday.app.planner_client import FIRST, Planner, PlannerAnswer, PlannerQuestion
from shopday.app.rows.move_text import move_summary
from shopday.app.session_state import same_day

if TYPE_CHECKING:
    from shopday.app.app import ShopdayApp
    from shopday.planning.odds.delivery_odds import Odds
    from shopday.planning.plan import Plan, PlannedStep
    from shopday.planning.questions.dashboard_types import Dashboard, WaitingItem
    from shopday.planning.questions.plan_changes import DeliveryMove
    from shopday.shop.models import Job


SETTLES = 1.0
"""Seconds in which nobody has seen yet that the day was put in another order."""

SECONDS_BETWEEN_ENDS = 20
"""A planner that ends again sooner than this is not started any more."""


class PlanUpdates:
    """The plan on the screen, and the questions to the planner.

    _aside: the planner is at another question than the plan.
    """

    def __init__(self, app: ShopdayApp, planner: Planner) -> None:
        self.app, self._planner = app, planner
        self._serial = self._plan_serial = FIRST.serial
        self._quote_serial = self._help_serial = 0
        self._before: Plan | None = None
        self._what = ""
        self._show_moves = self._aside = False
        self._fresh = True
        self._ended: float | None = None
        self._shuffled = -SETTLES

    @property
    def just_shuffled(self) -> bool:
        """A key pressed now may be meant for what stood there before."""
        return monotonic() - self._shuffled < SETTLES

    @property
    def waits(self) -> Sequence[WaitingItem]:
        return self.app.desk.glance.waits if self.app.desk.glance else ()

    def anew(self, what: str = "", show_moves: bool = False) -> None:
        """Plan anew after a change; `show_moves` asks whether to keep it."""
        self._before, self._what, self._show_moves = self.app.desk.plan, what, show_moves
        self._stop_helping()
        self._fresh, self._aside = True, False
        self._ask()
        self.app.desk.better = self.app.desk.odds = None

    def go_on(self, day_begins: bool = False) -> None:
        """Plan anew because time went on."""
        if self._aside:
            return
        self._fresh, self._before = self.app.desk.plan is None, None
        self._ask(day_begins)

    def _ask(self, day_begins: bool = False) -> None:
        self._serial += 1
        self._plan_serial = self._serial
        self._planner.ask(PlannerQuestion(self._serial, day_begins=day_begins))

    def quote(self, id: str, job: Job) -> None:
        """What a job not in the shop would do; the answer goes to the screen that asks for it."""
        self._serial += 1
        self._quote_serial = self._serial
        self._aside = True
        self._planner.ask(PlannerQuestion(self._serial, self.app.desk.plan, job_id=id, job=job))

    def _show_quote(self, answer: PlannerAnswer) -> None:
        from shopday.app.screens.new_job_screen import NewJobScreen

        self._aside = not answer.last
        if isinstance(self.app.shown, NewJobScreen):
            self.app.shown.show_answer(answer)

    def help(self, step: PlannedStep) -> None:
        """Why a step is when it is, and what would help its job most; the answers go to the screen that asks."""
        self._serial += 1
        self._help_serial = self._serial
        self._aside = True
        self._planner.ask(PlannerQuestion(self._serial, self.app.desk.plan, why=step.key))

    def leave_help(self) -> None:
        """The screen was closed: back to the plan, which the question had interrupted."""
        self._help_serial, self._aside = 0, False
        if self._fresh:  # the first plan after a change has not come yet
            self._ask()
        else:
            self.go_on()

    def _stop_helping(self) -> None:
        """The shop changed: what was being tried no longer fits it."""
        if self._aside and self._help_serial == self._serial:
            self._show_help(PlannerAnswer(self._serial, trouble="The shop changed: ask again.", last=True))
        self._help_serial = 0

    def _show_help(self, answer: PlannerAnswer) -> None:
        from shopday.app.dialogs.why_dialog import WhyDialog

        self._aside = not answer.last
        if isinstance(self.app.screen, WhyDialog):
            self.app.screen.show_answer(answer)

    def answered(self, answer: PlannerAnswer | None) -> None:
        """Take an answer of the planner up; None: it is gone."""
        if answer is None:
            self._ended_by_itself()
        elif answer.serial == self._quote_serial:
            self._show_quote(answer)
        elif answer.serial == self._help_serial:
            self._show_help(answer)
        elif answer.serial == self._plan_serial:
            if answer.trouble:
                self.app.tell(answer.trouble)
                return
            if answer.glance is not None:
                self._take_answer(answer, answer.glance)
            elif answer.odds is not None:
                self._show_odds(answer.odds)

    def _ended_by_itself(self) -> None:
        """The planner's process died: another one takes its place, unless that does not help."""
        before, self._ended = self._ended, monotonic()
        if before is not None and self._ended - before < SECONDS_BETWEEN_ENDS:
            self.app.say("The planner keeps stopping. Quit and open the app again; nothing is lost.", "error")
            return
        self._planner.start_again()
        self._stop_helping()
        self._aside = False
        if not self._fresh:  # what was changed last is told already
            self._before = None
        self._ask()
        self.app.tell("The planner had stopped and was started again.")

    def _show_odds(self, odds: Odds) -> None:
        self.app.desk.odds = odds
        if self.app.shown is not None:
            self.app.shown.redraw()

    def _take_answer(self, answer: PlannerAnswer, found: Dashboard) -> None:
        """The plan on the wall is shown as it is; a better one is offered in a line."""
        desk, old = self.app.desk, self.app.desk.plan
        if self._fresh or old is None:
            self._fresh = False
            self.take(found)
            self._tell_moves(found.plan)
        else:
            self.take(found)
            if not same_day(old, found.plan, desk.now.date()):
                self._shuffled = monotonic()
            if answer.taken:
                self.app.tell(f"A better plan for the new day is used. {self._difference(old, found.plan)}")
        desk.better = answer.offer
        if answer.offer is not None:
            self.app.tell(f"x: use a better plan. {self._difference(found.plan, answer.offer.plan)}")

    def take(self, found: Dashboard) -> None:
        """Put a plan on the screen."""
        self.app.desk.glance, self.app.desk.better = found, None
        if self.app.shown is not None:
            self.app.shown.redraw()
        elif self._before is not None:
            self._show_moved(self._moves(self._before, found.plan))

    def _show_moved(self, moved: Sequence[DeliveryMove]) -> None:
        from shopday.app.dialogs.confirm_moves import ConfirmMoves

        if isinstance(self.app.screen, ConfirmMoves):
            self.app.screen.show_moves(moved)

    def _tell_moves(self, plan: Plan) -> None:
        if self._before is None:
            self.app.tell("")
            return
        moved = self._moves(self._before, plan)
        if self._show_moves:
            from shopday.app.dialogs.confirm_moves import ConfirmMoves

            self.app.open_card(ConfirmMoves(self._what, moved, self.app.desk.now.date()), self._kept)
        else:
            self.app.tell(f"{self._what}. {move_summary(moved)}".lstrip(". "))

    def _difference(self, old: Plan, plan: Plan) -> str:
        return move_summary(self._moves(old, plan), gains_first=True)

    def _moves(self, old: Plan, plan: Plan) -> Sequence[DeliveryMove]:
        from shopday.planning.questions.plan_changes import delivery_moves

        return delivery_moves(old, plan)

    def _kept(self, keep: bool | None) -> None:
        if keep:
            self.app.tell(f"Kept: {self._what}. Press u to take it back.")
        else:
            self.app.action_take_back()
