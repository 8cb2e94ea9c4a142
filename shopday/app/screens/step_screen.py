"""What can be done to the step under the cursor, on any screen that shows steps."""

from __future__ import annotations

from time import monotonic
from typing import TYPE_CHECKING

from shopday.app.screens.shop_screen import ShopScreen
from shopday.app.widgets.row_list import RowList

if TYPE_CHECKING:
    from shopday.planning.plan import PlannedStep


class StepScreen(ShopScreen):
    """A screen with keys that act on `selected_step()`."""

    _suggested: tuple[str, int] | None = None
    _suggested_at: float | None = None

    def selected_step(self) -> PlannedStep | None:
        """The step under the cursor."""
        raise NotImplementedError

    def do_step(self, name: str, step: PlannedStep | None) -> None:
        if step is None:
            self.session.say("Put the cursor on a step first.")
        elif step.state == "planned" and self._another_came(step):
            self.session.say(
                f"The day was put in another order this very moment, and {step.label} took the place of another step. "
                "Press once more if you mean it."
            )
        else:
            self.session.step_actions.do(name, step)

    def suggests(self, step: PlannedStep | None) -> None:
        """Remember the step that a key acts on although the cursor is elsewhere; called whenever it is worked out."""
        key = step.key if step is not None else None
        if key != self._suggested and self.session.plan_updates.just_reordered:
            self._suggested_at = monotonic()
        self._suggested = key

    def _another_came(self, step: PlannedStep) -> bool:
        """Has a new order of the day just put another step where a key may have been aimed: under the cursor, or in
        place of the suggested step?"""
        updates = self.session.plan_updates
        if not updates.just_reordered:
            return False
        rows = self.focused if isinstance(self.focused, RowList) else self.query(RowList).first()
        since = self._suggested_at if step.key == self._suggested else rows.swapped
        return since is not None and since >= updates.reordered_at

    def step_to_finish(self) -> PlannedStep | None:
        """The step that a plain "finish" means here."""
        return self.selected_step()

    def step_to_start(self) -> PlannedStep | None:
        """The step that a plain "start" means here."""
        return self.selected_step()

    def action_do_step(self, name: str) -> None:
        chosen = {
            "start": self.step_to_start,
            "finish": self.step_to_finish,
            "finish_at": self.step_to_finish,
            "put_down": self.step_to_finish,
        }
        self.do_step(name, chosen.get(name, self.selected_step)())
