"""What can be done to the step under the cursor, from any screen that shows steps."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.binding import Binding, BindingType

from shopday.app.shopscreen import ShopScreen

if TYPE_CHECKING:
    from shopday.planning.plan import PlannedStep

STEP_KEYS: list[BindingType] = [
    Binding("s", "start", "Start"),
    Binding("f", "finish", "Finish"),
    Binding("p", "again", "Pass more"),
    Binding("h", "arrived", "Here"),
    Binding("w", "why", "Why"),
]


class StepScreen(ShopScreen):
    """Keys that act on `chosen()`."""

    def chosen(self) -> PlannedStep | None:
        """The step under the cursor."""
        raise NotImplementedError

    def _do(self, kind: str, done: str, step: PlannedStep | None, show: bool = False) -> None:
        if step is None:
            self.shopday.say("Put the cursor on a step first.")
        else:
            self.shopday.log_fact(kind, step, done, show)

    def action_start(self) -> None:
        self._do("start", "Started", self.chosen())

    def action_finish(self) -> None:
        self._do("finish", "Finished", self.to_finish())

    def to_finish(self) -> PlannedStep | None:
        """What is under way, unless the cursor stands on something that is."""
        return self.chosen()

    def action_again(self) -> None:
        self._do("again", "Another pass", self.chosen(), show=True)

    def action_arrived(self) -> None:
        self._do("arrived", "Arrived", self.chosen())

    def action_why(self) -> None:
        if (step := self.chosen()) is not None:
            self.shopday.show_why(step)
