"""All about one step, with a button for everything that can be done to it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Mapping, Sequence
from typing import TYPE_CHECKING, ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.content import Content
from textual.widgets import Static

from shopday.app.dialogs.dialog import Dialog
from shopday.app.step_keys import STEP_KEYS
from shopday.app.widgets.choices import Choice, Choices
from shopday.text.cells import fit, wrapped
from shopday.text.durations import work_text
from shopday.text.safe import clean
from shopday.text.times import moment_text

if TYPE_CHECKING:
    from shopday.planning.encoding.progress import Progress
    from shopday.planning.plan import PlannedStep

AskCautions = Callable[[], Sequence[str]]
"""Works out what to mind at the step."""

BEGUN = ("under way", "put down", "waiting", "done")
STATES = {
    "start": ("planned", "put down"), "start_at": ("planned", *BEGUN),
    "finish": ("planned", "under way", "put down"), "finish_at": ("planned", *BEGUN),
    "put_down": ("under way", "put down"), "skip": ("planned", "under way", "put down"), "again": BEGUN, "rework": BEGUN,
    "overrun": ("planned", "under way", "put down"), "pin": ("planned",),
}  # fmt: skip
"""The states of a step in which an action makes sense; actions not named here always do."""

LABEL = 10
"""Cells of the label of a fact."""
HANDS = ("start", "start_at", "finish", "finish_at", "put_down", "again", "rework", "overrun")
"""Actions on work, which make no sense for something that arrives or is away."""


class StepDialog(Dialog[str | None]):
    """Returns the name of the chosen action, or None."""

    BINDINGS: ClassVar[list[BindingType]] = [
        *(key.binding("choose", False) for key in STEP_KEYS if key.bound),
        Binding("q", "dismiss", "Back"),
    ]

    CONTENT = ("_step", "_now", "_names", "_noted", "_stands", "_ask_cautions", "_cautions")

    def __init__(
        self,
        step: PlannedStep,
        now: dt.datetime,
        names: Mapping[str, str],
        noted: Sequence[tuple[str, str]],
        stands: Progress,
        ask_cautions: AskCautions,
    ) -> None:
        """
        names:  of people and things, by id.
        noted:  what was noted of the step, each text with its label.
        stands: how far it has come.
        """
        super().__init__()
        self._step, self._now, self._names, self._noted = step, now, names, noted
        self._stands, self._ask_cautions = stands, ask_cautions
        self._cautions: Sequence[str] = ()

    def compose_dialog(self) -> ComposeResult:
        with VerticalScroll(id="dialog", can_focus=False):
            yield Static(id="title")
            yield Static(id="facts")
            yield Choices()

    def fill(self) -> None:
        self.query_one("#title", Static).update(Content(clean(self._step.full)))
        self._show_facts(())
        actions = [Choice(key.action, key.label, key.key) for key in STEP_KEYS if self._fits(key.action)]
        self.query_one(Choices).offer(*actions, Choice("none", "Back", "Esc"))
        self.call_after_refresh(self._show_cautions)

    def _fits(self, action: str) -> bool:
        """True if the action makes sense for a step of this kind and state."""
        step = self._step
        if action == "moisture":
            return bool(step.moisture)
        if action == "tested":
            return step.kind == "work" and step.state in ("waiting", "done") and bool(step.waits)
        if action == "ordered":
            return step.kind == "arrives" and step.state != "done"
        if action in ("arrived", "asked"):
            return step.kind != "work" and step.state != "done"
        if (step.kind == "arrives" and action in HANDS) or (step.kind == "away" and action == "put_down"):
            return False
        return step.stands in STATES.get(action, (step.stands,)) or (
            action in ("again", "rework") and step.pass_no > 1
        )

    def _show_cautions(self) -> None:
        """Add the cautions once the dialog is visible, as they take a moment to work out."""
        if cautions := self._ask_cautions():
            self._show_facts(cautions)

    def on_resize(self) -> None:
        self._show_facts(self._cautions)

    def _show_facts(self, cautions: Sequence[str]) -> None:
        self._cautions = cautions
        known = [*facts(self._step, self._now, self._names, self._stands), *self._noted]
        lines = [fit(label, LABEL) + wrapped(said, self.room - LABEL, LABEL) for label, said in known if said]
        lines += [f"! {wrapped(caution, self.room - 2, 2)}" for caution in cautions]
        self.query_one("#facts", Static).update(Content("\n".join(lines)))

    def action_choose(self, action: str) -> None:
        if self._fits(action):
            self.dismiss(action)

    def on_choices_chosen(self, event: Choices.Chosen) -> None:
        self.dismiss(None if event.id == "none" else event.id)


def facts(
    step: PlannedStep, now: dt.datetime, names: Mapping[str, str], stands: Progress
) -> list[tuple[str, str]]:
    """What is known of a step, as (label, text). names: of people and things, by id."""
    needs = [names.get(id, id) for id in (*step.people, *step.stations)]
    needs += [f"{count} {names.get(id, id).lower()}" for id, count in step.gear.items()]
    waits = [f"{wait.name} until {moment_text(wait.end, now)}" for wait in step.waits]
    window = moment_text(step.window_ends, now) if step.window_ends else ""
    return [
        ("is", step.stands + (", its window was missed" if step.missed else "")),
        ("starts", moment_text(step.start, now)),
        ("ends", moment_text(step.end, now)),
        ("work", _work(step, stands)),
        ("needs", ", ".join(needs)),
        ("then", "; ".join(waits)),
        ("start by", window),
        ("complete", moment_text(step.complete, now)),
    ]


def _work(step: PlannedStep, stands: Progress) -> str:
    """The estimate; for a step under way also the progress; for a finished one the minutes worked."""
    if step.state == "planned" or step.kind != "work":
        return work_text(step.work) if step.work else ""
    worked = work_text(stands.worked)
    return f"{worked} so far, {stands.rest}" if step.state == "under way" else worked
