"""Log what a test or a meter shows: a wait that is over or not, moisture, a finish to sand back."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING

from shopday.app.dialogs.question_dialog import QuestionDialog
from shopday.app.forms.parse_field import field_amount
from shopday.planning.encoding.moisture_gates import gate_text
from shopday.planning.step_names import written
from shopday.shop import typed_values
from shopday.shop.quantities import minutes
from shopday.text.sentences import sentence

if TYPE_CHECKING:
    from shopday.app.session import Session
    from shopday.planning.plan import PlannedStep

OVER = "it is over"
"""Found by fingernail, tape or weight, as the label says."""

Details = Mapping[str, object]


class MeasuredActions:
    """Asks what was found, logs it, has the shop planned again, and shows what moves before it is kept."""

    def __init__(self, session: Session) -> None:
        self.session = session

    def rework(self, step: PlannedStep) -> None:
        text = "How many passes again, and how long to sand back or cut out before them? 2, 45m; press Enter."
        self._ask("again", step, f"Sand back: {step.name}", text, (), _rework)

    def tested(self, step: PlannedStep) -> None:
        text = "What does the test show, by fingernail, tape or as the label says? Over, or how much longer from now: 4h."
        self._ask("tested", step, f"Tested: {step.label}", text, (OVER, "2h", "12h", "24h"), _tested)

    def moisture(self, step: PlannedStep) -> None:
        open_shop = self.session.state.open_shop
        readings = open_shop.state().moisture.get(step.address, {})
        stands = sentence(
            gate_text(written(open_shop.folder, step), open_shop.folder.shop, readings)
            or "all within the limits"
        )
        text = f"{stands} What does the meter show, in %, and of which board? 8.5, board 2; press Enter."
        self._ask("moisture", step, f"Moisture: {step.name}", text, (), _reading)

    def _ask(
        self,
        kind: str,
        step: PlannedStep,
        title: str,
        text: str,
        answers: tuple[str, ...],
        read: Callable[[str], Details],
    ) -> None:
        state = self.session.state

        def check(typed: str) -> None:
            state.open_shop.entry(kind, step.address, None, state.plan, step.pass_no, details=read(typed))

        def log(typed: str | None) -> None:
            if typed is not None and self.session.attempt(lambda: state.log(kind, step, details=read(typed))):
                self.session.plan_updates.replan(f"{title} ({typed})", show_moves=True)

        self.session.open_dialog(QuestionDialog(title, text, answers, check), log)


def _rework(typed: str) -> Details:
    passes, _, first = (piece.strip() for piece in typed.partition(","))
    return {"passes": typed_values.field_whole(1, 20)(passes), "first": minutes(first) if first else 0}


def _tested(typed: str) -> Details:
    return {"longer": 0 if typed == OVER else minutes(typed)}


def _reading(typed: str) -> Details:
    percent, _, board = typed.partition(", ")
    return {"percent": field_amount(60)(percent.rstrip("% ")), "board": board.removeprefix("board").strip()}
