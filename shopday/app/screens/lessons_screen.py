"""What the journal teaches: estimate against actual by kind of work and by material. Lessons are offered, never
applied unasked."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical, VerticalScroll
from textual.content import Content
from textual.widgets import OptionList, Static

from shopday.app.dialogs.dialog import Dialog
from shopday.app.rows.day_rows import day_heading
from shopday.app.widgets.choices import Choice, Choices
from shopday.app.widgets.row_list import Row, RowList
from shopday.text.cells import fit, wrapped
from shopday.text.durations import length_text
from shopday.text.safe import clean, clean_lines

if TYPE_CHECKING:
    from shopday.planning.lessons.apply_lessons import LessonEdit
    from shopday.planning.lessons.learned_lessons import Lesson

HEADS = {"work": "Hands-on work", "cure": "Cures, as they were taken up", "passes": "Passes"}
SAYS = (
    "Your own times, from the journal: what it took, and │ the estimate. Enter shows a line's cases and what it would "
    "change."
)
NOTHING = (
    "Nothing has been logged from start to finish yet. Log starts and ends, and your own times stand here."
)
FACTOR = 9
"""The width in cells of "1.25 x"."""
BAR, ESTIMATE = 12, 6
"""Cells of the bar of what it took, and of the estimate, at whose end stands a mark."""

FILES = {"work": "the job files", "cure": "materials.toml", "passes": "the job files"}
RULES = {
    "cure": (
        "",
        "The label rules: take it only where you know that a cure of yours holds after that long. "
        "Steps that write waits of their own keep them.",
    )
}
HINTS = {
    "work": "No step of this kind is still to come whose estimate would change.",
    "cure": "The waits of this material would not change: they are as long, or the steps write their own.",
    "passes": "No step with it is still to come whose passes would change; d on a step changes its own.",
}
"""What is told of a lesson that changes nothing."""


class Lessons(Dialog["Lesson | None"]):
    """The list of lessons. Returns the chosen lesson, or None."""

    BINDINGS: ClassVar[list[BindingType]] = [Binding("q", "dismiss", "Back")]

    CONTENT = ("_lessons",)

    def __init__(self, lessons: Sequence[Lesson]) -> None:
        super().__init__()
        self._lessons = lessons

    def compose_dialog(self) -> ComposeResult:
        with Vertical(id="dialog"):
            yield Static(id="title")
            yield RowList(id="recipes")
            yield Choices()

    def fill(self) -> None:
        self.query_one("#title", Static).update(SAYS if self._lessons else NOTHING)
        self.query_one(Choices).offer(Choice("leave", "Back", "Esc"))
        rows: list[Row] = []
        for of, head in HEADS.items():
            mine = [lesson for lesson in self._lessons if lesson.of == of and not _as_foreseen(lesson)]
            rows += [day_heading(of, head), *map(_row, mine)] if mine else []
        apart = [lesson for lesson in self._lessons if _as_foreseen(lesson)]
        rows += [day_heading("apart", "As foreseen, nothing to learn"), *map(_apart, apart)] if apart else []
        self.query_one(RowList).fill(rows)

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        self.dismiss(self.query_one(RowList).row_at(event.option_index).subject)

    def on_choices_chosen(self, event: Choices.Chosen) -> None:
        self.dismiss(None)


def _as_foreseen(lesson: Lesson) -> bool:
    """True if it took what was estimated, to the hundredth that is shown."""
    return round(lesson.factor, 2) == 1


def _apart(lesson: Lesson) -> Row:
    many = "once" if len(lesson.cases) == 1 else f"{len(lesson.cases)} times"
    said = f"{lesson.name}: {lesson.of}, seen {many}"
    return Row(
        f"{lesson.of}#{lesson.kind}",
        lambda width: Content.styled(wrapped(said, width - 2, 2), "$muted"),
        subject=lesson,
    )


def _row(lesson: Lesson) -> Row:
    def draw(width: int) -> Content:
        factor = fit(f"{lesson.factor:.2f} x", FACTOR)
        before = FACTOR + BAR + 1
        beside, room = (" ", width - before) if width >= 2 * before else ("\n" + " " * FACTOR, width - FACTOR)
        said = wrapped(lesson.text, room, width - room)
        return Content.assemble((factor, "bold $accent"), _bar(lesson.factor), beside, said)

    return Row(f"{lesson.of}#{lesson.kind}", draw, subject=lesson)


def _bar(factor: float) -> Content:
    """The time it took as a bar, beside the mark of the estimate; a bar that is too long for its room has no end."""
    taken = max(1, round(factor * ESTIMATE))
    line = fit("━" * min(taken, BAR), BAR)
    line = line if taken <= BAR else f"{line[:-1]}→"
    past = "$warning" if taken > ESTIMATE else "$primary"
    mark = ("│", "bold") if taken <= ESTIMATE else ("┿", "bold")
    return Content.assemble((line[:ESTIMATE], past), mark, (line[ESTIMATE + 1 :], past))


class LessonDialog(Dialog[bool]):
    """One lesson with its cases, and the estimates it would change. Returns True if the person takes it."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("k", "keep", "Take it"),
        Binding("q", "dismiss", "Back"),
    ]

    CONTENT = ("_lesson", "_changes", "_names")

    def __init__(self, lesson: Lesson, changes: Sequence[LessonEdit], names: Mapping[str, str]) -> None:
        """names: of steps, by address."""
        super().__init__()
        self._lesson, self._changes, self._names = lesson, changes, names

    def compose_dialog(self) -> ComposeResult:
        with VerticalScroll(id="dialog"):
            yield Static(id="title")
            yield Static(id="cases")
            yield Static(id="changes")
            yield Choices()

    def fill(self) -> None:
        told = clean_lines(_told(self._lesson, self._changes))
        self.query_one("#title", Static).update(Content(clean(self._lesson.text)))
        self.query_one("#cases", Static).update(Content(clean_lines(_cases(self._lesson, self._names))))
        self.query_one("#changes", Static).update(Content(told))
        take = [Choice("take", "Take it into the files", "k")] if self._changes else []
        self.query_one(Choices).offer(*take, Choice("leave", "Back", "Esc"))

    def action_keep(self) -> None:
        if self._changes:
            self.dismiss(True)

    def on_choices_chosen(self, event: Choices.Chosen) -> None:
        self.dismiss(event.id == "take")


def _cases(lesson: Lesson, names: Mapping[str, str]) -> list[str]:
    def said(amount: int) -> str:
        return str(amount) if lesson.of == "passes" else length_text(amount)

    lines = [
        f"{said(c.estimate):>8} foreseen {said(c.actual):>8} taken  {names.get(c.address, c.address)}"
        for c in lesson.cases
    ]
    return [*lines, ""]


def _told(lesson: Lesson, changes: Sequence[LessonEdit]) -> list[str]:
    amounts = [amount for change in changes for amount in change.amounts]
    if not amounts:
        return [HINTS[lesson.of]]
    lines = [f"{a.before:>8} to {a.after:>8}  {a.what}" for a in amounts]
    return [f"What would change in {FILES[lesson.of]}:", *lines, *RULES.get(lesson.of, ())]
