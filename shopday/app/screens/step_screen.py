"""What can be done to the step under the cursor, from any screen that shows steps."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.binding import Binding, BindingType

from shopday.app.screens.shop_screen import ShopScreen

if TYPE_CHECKING:
    from shopday.planning.plan import PlannedStep

STEP_KEYS: list[BindingType] = [
    Binding("s", "deed('start')", "Start"),
    Binding("f", "deed('finish')", "Finish"),
    Binding("S", "deed('start_at')", "Started at...", show=False),
    Binding("F", "deed('finish_at')", "Finished at...", show=False),
    Binding("p", "deed('again')", "Pass more"),
    Binding("h", "deed('arrived')", "Here"),
    Binding("w", "deed('why')", "Why"),
    Binding("o", "deed('overrun')", "Takes longer", show=False),
    Binding("i", "deed('pin')", "Pin", show=False),
    Binding("d", "deed('change')", "Change", show=False),
]


class StepScreen(ShopScreen):
    """Keys that act on `chosen()`."""

    def chosen(self) -> PlannedStep | None:
        """The step under the cursor."""
        raise NotImplementedError

    def deed(self, name: str, step: PlannedStep | None) -> None:
        if step is None:
            self.session.say("Put the cursor on a step first.")
        elif self.session.plan_updates.just_shuffled:
            self.session.say(
                "The day was put in another order this very moment. Look again, and press once more."
            )
        else:
            self.session.step_actions.do(name, step)

    def to_finish(self) -> PlannedStep | None:
        """What a plain "finish" means here."""
        return self.chosen()

    def action_deed(self, name: str) -> None:
        self.deed(name, self.to_finish() if name in ("finish", "finish_at") else self.chosen())
