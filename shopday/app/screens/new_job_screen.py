"""New job: when could it be delivered, and what would it do to other jobs? The answer changes as the person types."""

from __future__ import annotations

from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING, ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.content import Content
from textual.timer import Timer
from textual.widgets import Button, Input, Select

from shopday.app.dialogs.question_dialog import QuestionDialog
from shopday.app.forms.kept_draft import keep_draft, kept_draft
from shopday.app.forms.new_job_form import FIELDS, AtField, JobForm, NewJobDraft, PartForm, draft_job
from shopday.app.protocol import PlannerAnswer
from shopday.app.rows.date_to_say import cannot_be_kept, safe_date, sentence_for_customer
from shopday.app.screens.shop_screen import ShopScreen
from shopday.app.session_messages import QuestionAnswered
from shopday.app.widgets.gates_line import GATES, GatesLine
from shopday.app.widgets.part_fields import PartFields, PartKeys, TextField
from shopday.app.widgets.quote_answer import DateToSay, QuoteAnswer
from shopday.shop.faults import ShopdayError
from shopday.text.times import date_text

if TYPE_CHECKING:
    from shopday.app.protocol import PlannerAnswer
    from shopday.app.session import Session
    from shopday.shop.recipes.recipe_library import Recipe

PAUSE = 0.25
"""Seconds without a key before the planner is asked."""

BUTTONS = {
    "live": "Accept it (a)",
    "keep-quote": "Keep as a quote (k)",
    "copy": "Copy the date (C)",
    "drop": "Drop it (D)",
}
AS_IT_IS = "Accept it as it is"


class NewJobScreen(ShopScreen):
    PLACE = "newjob"
    AUTO_FOCUS = "#f-title"
    HELP_TEXT = (
        "Add a part for each piece of the work and set the few numbers that matter; the date to say stands on top and moves "
        "with every change. On the right what it breaks, what to mind, and its dates in today's load and with the shop empty. "
        "Keep it as a quote, accept it, copy the date for the customer, or drop it. "
        "A finish is for the pieces listed before it, from the finish before that on: b and n change the order of the "
        "parts. B buys a part instead of making it. g lets the job begin after a deposit, an approved drawing, timber or "
        "hardware. Tab and Enter go from field to field; Escape leaves a field, so "
        "that the letters are keys again."
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("A", "add", "Add a part"),
        Binding("k", "keep", "Keep as quote"),
        Binding("a", "accept", "Accept"),
        Binding("D", "drop", "Drop"),
        Binding("C", "copy", "Copy the date", show=False),
        Binding("g", "gates", "What it begins after", show=False),
        Binding("b", "move(-1)", "Move the part earlier", show=False),
        Binding("n", "move(1)", "Move the part later", show=False),
        Binding("B", "buy", "Buy the part, or make it", show=False),
        Binding("delete,backspace", "skip", "Part not needed", show=False, key_display="Del"),
        Binding("escape", "leave_field", "Leave field", show=False),
    ]

    def __init__(self, session: Session) -> None:
        super().__init__(session)
        self.form = JobForm()
        self._draft: NewJobDraft | None = None
        self._answer: tuple[NewJobDraft, PlannerAnswer] | None = None
        self._timer: Timer | None = None
        self._accepting = False
        """`a` was pressed before the answer to what was typed last."""
        self._restored = False

    def on_unmount(self) -> None:
        """Keep what was typed for the next start, as the app is quit."""
        if self._restored:
            keep_draft(self.state.folder, self.form)

    def body(self) -> ComposeResult:
        if not self._restored and self.state.read is not None:
            self.form, self._restored = kept_draft(self.state.folder, self._recipes()), True
        yield DateToSay()
        with Horizontal(id="newjob"):
            with VerticalScroll(id="form", can_focus=False):
                for id, label, hint in FIELDS:
                    yield TextField(label, getattr(self.form, id), f"f-{id}", hint, kept=id == "title")
                yield GatesLine()
                for part in self.form.parts:
                    yield PartFields(part, self.state.open_shop.folder)
                yield Button(Content("Add a part (A)"), id="add", compact=True)
            with Vertical(id="answer-side"):
                yield QuoteAnswer(id="answer")
                for id, label in BUTTONS.items():
                    yield Button(Content(label), id=id, compact=True)

    # ------------------------------------------------------------ typing

    def on_input_changed(self, event: Input.Changed) -> None:
        id = event.input.id or ""
        if id.startswith("f-"):
            setattr(self.form, id.removeprefix("f-"), event.value)
        self._changed()

    def on_select_changed(self, event: Select.Changed) -> None:
        self._changed()

    def _changed(self) -> None:
        self._accepting = False
        self._stop_timer()
        self._timer = self.set_timer(PAUSE, self._ask)

    def _stop_timer(self) -> None:
        if self._timer is not None:
            self._timer.stop()
        self._timer = None

    def _ask(self) -> None:
        """Ask the planner about what was typed, or say what is missing."""
        if not self.ready:  # the pause after the last letter ends while the app closes
            return
        self._draft = None
        self.query_one(GatesLine).show(self.form.gates)
        self._mark(None, None)
        if not self.form.parts:
            self._say("Add a part to see a date.")
            return
        try:
            self._draft = draft_job(self.form, self.state.open_shop.folder, self.state.now)
        except AtField as error:
            self._mark(error.part, error.parameter)
            self._say(str(error))
        except (ShopdayError, ValueError) as error:
            self._say(str(error))
        else:
            self._say("Working out a date")
            self.session.plan_updates.quote(self._draft.id, self._draft.job, self)

    def _mark(self, part: int | None, parameter: str | None) -> None:
        for place, fields in enumerate(self.query(PartFields)):
            fields.mark(parameter if place == part else None)

    def on_question_answered(self, message: QuestionAnswered) -> None:
        """Show the planner's answer to what was typed last."""
        answer = message.answer
        if answer.quote is not None and self._draft is not None:
            self._answer = self._draft, answer
            self.query_one(DateToSay).show(answer, self._draft.job.promise, self.state.now.date())
            self.query_one(QuoteAnswer).show(answer, self._draft, self.state.now)
        elif answer.trouble:
            self._say(answer.trouble)
        if self._accepting and self._draft is not None:
            self._accept(self._draft)

    def _answered(self) -> PlannerAnswer | None:
        """The answer to what is typed now; None if it has not come."""
        return self._answer[1] if self._answer is not None and self._answer[0] == self._draft else None

    def _say(self, text: str) -> None:
        """Show a text in place of the date, as the last answer is not one to what is typed now."""
        self.query_one(DateToSay).say(text)
        self.query_one(QuoteAnswer).clear()

    def on_resize(self) -> None:
        if self._composed:
            self.query_one(DateToSay).fit_in()
            if (answer := self._answered()) is not None and self._draft is not None:
                self.query_one(QuoteAnswer).show(answer, self._draft, self.state.now)

    # ------------------------------------------------------------ keys

    def action_add(self) -> None:
        from shopday.app.dialogs.recipe_dialog import RecipeDialog

        if known := self._recipes():
            self.session.open_dialog(RecipeDialog(known.values()), self._add)

    def _recipes(self) -> dict[str, Recipe]:
        """The recipes, read again, as they may be edited any time. If a file has faults, show why and return none."""
        from shopday.shop.recipes.recipe_library import recipes

        known: dict[str, Recipe] = {}
        self.session.attempt(lambda: known.update(recipes(self.state.folder)))
        return known

    def on_files_changed(self) -> None:
        """The shop's files have changed: parts follow their recipes, and keep what was typed."""
        known = self._recipes()
        for fields in self.query(PartFields):
            recipe = known.get(fields.form.recipe.id)
            if recipe is not None and recipe != fields.form.recipe:
                fields.form.recipe = recipe
                fields.refresh(recompose=True)
        self._changed()

    def on_screen_suspend(self) -> None:
        self._accepting = False

    def on_screen_resume(self) -> None:
        """The shop may have changed since the screen was left."""
        self._changed()

    async def _add(self, recipe: Recipe | None) -> None:
        """Add a part, with the cursor before its numbers and all of them in sight."""
        if recipe is not None:
            part = PartForm(recipe)
            self.form.parts.append(part)
            fields = PartFields(part, self.state.open_shop.folder)
            await self.query_one("#form").mount(fields, before="#add")
            fields.query_one(PartKeys).focus()
            fields.scroll_visible(animate=False)
            self._changed()

    def visited(self) -> None:
        """Put the cursor behind the name of the piece, so that the person can type at once."""
        if self._composed:
            piece = self.query_one("#f-title", Input)
            piece.focus()
            piece.cursor_position = len(piece.value)

    def on_input_submitted(self) -> None:
        self.focus_next()

    def action_leave_field(self) -> None:
        """Leave the field, so that letters are keys again; of its part, if it was a field of one."""
        part = self._focused_part()
        (part.query_one(PartKeys) if part else self.query_one("#add")).focus()

    # ------------------------------------------------------------ the parts

    def _focused_part(self) -> PartFields | None:
        nodes = self.focused.ancestors_with_self if self.focused else ()
        return next((node for node in nodes if isinstance(node, PartFields)), None)

    def _part(self) -> PartFields | None:
        """The part with the focus, else the one added last."""
        part = self._focused_part() or next(iter(reversed(self.query(PartFields))), None)
        if part is None:
            self.session.say("Add a part first.")
        return part

    def action_move(self, by: int) -> None:
        """Move a part: the order of the parts decides which pieces a finish is for."""
        if (part := self._part()) is None:
            return
        shown, forms = list(self.query(PartFields)), self.form.parts
        here = shown.index(part)
        first, second = sorted((here, here + by))
        if first >= 0 and second < len(shown):
            forms[first], forms[second] = forms[second], forms[first]
            self.query_one("#form").move_child(shown[second], before=shown[first])
            self._changed()
        part.query_one(PartKeys).focus()

    async def action_buy(self) -> None:
        if (part := self._part()) is None:
            return
        if part.form.recipe.finishing:
            self.session.say("A finish is done here: only a piece can be bought.")
        else:
            part.form.bought = not part.form.bought
            await part.recompose()
            part.query_one("#buy-what" if part.form.bought else PartKeys).focus()
            self._changed()

    def action_gates(self) -> None:
        """Pick what the job begins after."""
        from shopday.app.dialogs.pick_dialog import PickDialog

        def take(picked: tuple[str, ...] | None) -> None:
            if picked is not None:
                self._begin_after(set(picked))

        self.app.push_screen(
            PickDialog("What must be there before it begins?", GATES, sorted(self.form.gates), many=True),
            take,
        )

    def action_gate(self, gate: str) -> None:
        """Add the gate to the job, or remove it."""
        self._begin_after(self.form.gates ^ {gate})

    def _begin_after(self, gates: set[str]) -> None:
        self.form.gates = gates
        self.query_one(GatesLine).show(self.form.gates)
        self._changed()

    def action_skip(self) -> None:
        if (part := self._part()) is not None:
            del self.form.parts[list(self.query(PartFields)).index(part)]
            self.query_one("#add").focus()
            part.remove()
            self._changed()

    # ------------------------------------------------------------ keeping it

    def action_keep(self) -> None:
        self._keep_as("quote")

    def action_accept(self) -> None:
        self._keep_as("live")

    def _keep_as(self, status: str) -> None:
        self._stop_timer()
        self._ask()
        if self._draft is None:
            self.session.say(self.query_one(DateToSay).said)
        elif status != "live":
            self._keep(self._draft, status)
        elif self._answered() is None:
            self._accepting = True  # not before it is known whether its promise can be kept
            self.session.tell("It is accepted once a date is known.")
        else:
            self._accept(self._draft)

    def _accept(self, kept: NewJobDraft) -> None:
        self._accepting = False
        if self._cannot_be_kept(kept):
            self._ask_for_promise(kept)
        else:
            self._keep(kept, "live")

    def _keep(self, kept: NewJobDraft, status: str) -> None:
        """Keep the job. Undoing that brings back what was typed, unless the next job is being typed."""
        if self.session.job_actions.keep(kept.id, kept.job, status, kept.cautions):
            self.state.changes.extend(
                partial(self._swap, JobForm(), self.form), partial(self._swap, self.form, JobForm())
            )
            self._put_form(JobForm())

    def _swap(self, shown: JobForm, other: JobForm) -> None:
        if self.form == shown:
            self._put_form(other)

    def _cannot_be_kept(self, kept: NewJobDraft) -> bool:
        """True if no plan found delivers the job by its promise, or at all."""
        asked, promise = self._answered(), kept.job.promise
        if asked is None or asked.quote is None or asked.quote.job != kept.id:
            return False
        earliest = asked.quote.earliest
        return earliest is None or (promise is not None and earliest.date() > promise)

    def _ask_for_promise(self, kept: NewJobDraft) -> None:
        """Say that nobody can keep the promise or do the job at all, and offer the safe date if there is one."""
        answer = self._answered()
        assert answer is not None
        today, wanted = self.state.now.date(), kept.job.promise
        safe = safe_date(answer)
        said = [] if safe is None else [f"Promise {date_text(safe, today)}"]
        title = "Nobody can do this job" if wanted is None else f"Nobody can keep {date_text(wanted, today)}"
        question = QuestionDialog(title, cannot_be_kept(answer, today), (*said, AS_IT_IS))

        def answered(said: str | None) -> None:
            if said == AS_IT_IS:
                self._keep(kept, "live")
            elif said is not None:
                self._keep(replace(kept, job=kept.job.model_copy(update={"promise": safe})), "live")

        self.session.open_dialog(question, answered)

    def action_copy(self) -> None:
        """Copy the date, or a sentence with it, for a message to the customer."""
        answer, draft, today = self._answered(), self._draft, self.state.now.date()
        safe = safe_date(answer) if answer is not None else None
        if safe is None or draft is None:
            self.session.say("The date to say is not known yet.")
            return
        texts = (date_text(safe, today), sentence_for_customer(draft.job.title, safe, today))
        question = QuestionDialog("Copy for the customer", "It goes to the clipboard.", texts)
        self.session.open_dialog(question, lambda text: self.session.copy(text) if text else None)

    def action_drop(self) -> None:
        """Empty the form; undo brings back what was typed."""
        if self.form == JobForm():
            return
        form, what = self.form, self.form.title or "a job without a name"
        redo = partial(self._put_form, JobForm())
        self.state.did(f"dropping of {what}", partial(self._put_form, form), redo)
        redo()
        self.session.tell(f"Dropped: {what}. u brings it back.")

    def _put_form(self, form: JobForm) -> None:
        self.form, self._draft = form, None
        self.call_next(self._begin_anew)

    async def _begin_anew(self) -> None:
        await self.recompose()
        self.redraw()
        self.query_one("#add").focus()

    def on_button_pressed(self, event: Button.Pressed) -> None:
        actions = {"add": "add", "copy": "copy", "drop": "drop", "live": "accept", "keep-quote": "keep"}
        self.call_next(self.run_action, actions[event.button.id or ""])
