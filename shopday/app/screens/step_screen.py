"""What can be done to the step under the cursor, from any screen that shows steps."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.binding import Binding, BindingType

from shopday.app.screens.shop_screen import ShopScreen

if TYPE_CHECKING:
    from shopday.planning.plan import PlannedStep

STEP_KEYS: list[BindingType] = [
    Binding("s", "do_step('start')", "Start"),
    Binding("f", "do_step('finish')", "Finish"),
    Binding("S", "do_step('start_at')", "Started at...", show=False),
    Binding("F", "do_step('finish_at')", "Finished at...", show=False),
    Binding("space", "do_step('put_down')", "Put down, take up", show=False),
    Binding("p", "do_step('again')", "One more pass"),
    Binding("h", "do_step('arrived')", "It's here"),
    Binding("j", "do_step('asked')", "Asked outside", show=False),
    Binding("w", "do_step('why')", "Why"),
    Binding("o", "do_step('overrun')", "Takes longer, comes later", show=False),
    Binding("i", "do_step('pin')", "Pin", show=False),
    Binding("d", "do_step('change')", "Change", show=False),
    Binding("delete,backspace", "do_step('skip')", "Not needed", show=False, key_display="Del"),
]


class StepScreen(ShopScreen):
    """Keys that act on `selected_step()`."""

    def selected_step(self) -> PlannedStep | None:
        """The step under the cursor."""
        raise NotImplementedError

    def do_step(self, name: str, step: PlannedStep | None) -> None:
        if step is None:
            self.session.say("Put the cursor on a step first.")
        elif self.session.plan_updates.just_reordered and step.state == "planned":
            # what was begun stays what it is, wherever its row went
            self.session.say(
                "The day was put in another order this very moment. Look again, and press once more."
            )
        else:
            self.session.step_actions.do(name, step)

    def step_to_finish(self) -> PlannedStep | None:
        """What a plain "finish" means here."""
        return self.selected_step()

    def step_to_start(self) -> PlannedStep | None:
        """What a plain "start" means here."""
        return self.selected_step()

    def action_do_step(self, name: str) -> None:
        chosen = {
            "start": self.step_to_start,
            "finish": self.step_to_finish,
            "finish_at": self.step_to_finish,
            "put_down": self.step_to_finish,
        }
        self.do_step(name, chosen.get(name, self.selected_step)())
