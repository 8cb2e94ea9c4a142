"""What can be done to a step: one table for the keys of screens, the step's card, the footer, the help and the
command list."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

from textual.binding import Binding


@dataclass(frozen=True)
class StepKey:
    """`action`: its name among the step actions. `bound`: the key, as Textual names it ("": only on the step's card).
    `shown`: it stands at the foot of a screen of steps."""

    action: str
    label: str
    bound: str = ""
    shown: bool = False
    key_display: str | None = None

    @property
    def key(self) -> str:
        """The key as people call it."""
        return self.key_display or self.bound

    def binding(self, does: str, shown: bool) -> Binding:
        """`does`: the name of Textual's action that is given the name of ours."""
        said = f"{does}('{self.action}')"
        return Binding(self.bound, said, self.label, show=shown, key_display=self.key_display)


STEP_KEYS = (
    StepKey("start", "Start", "s", True),
    StepKey("finish", "Finish", "f", True),
    StepKey("start_at", "Started at...", "S"),
    StepKey("finish_at", "Finished at...", "F"),
    StepKey("put_down", "Put down, take up", "space"),
    StepKey("skip", "Not needed", "delete,backspace", key_display="Del"),
    StepKey("again", "One more pass", "p", True),
    StepKey("rework", "Sand back..."),
    StepKey("tested", "Tested..."),
    StepKey("moisture", "Moisture..."),
    StepKey("arrived", "It's here", "h", True),
    StepKey("ordered", "Ordered", "O"),
    StepKey("asked", "Asked outside", "j"),
    StepKey("overrun", "Takes longer, comes later", "o"),
    StepKey("pin", "Pin", "i"),
    StepKey("why", "Why", "w", True),
    StepKey("change", "Change", "d"),
    StepKey("note", "Note", "N"),
)


def screen_keys(*actions: str, shown: Collection[str] | None = None) -> list[Binding]:
    """The keys of these actions, or of all, for a screen. shown: the ones in its footer, if not the usual ones."""
    return [
        key.binding("do_step", key.shown if shown is None else key.action in shown)
        for key in STEP_KEYS
        if key.bound and (not actions or key.action in actions)
    ]
