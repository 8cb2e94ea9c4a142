"""A small form: labelled lines to type in, and keys to keep or leave it."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.content import Content
from textual.widgets import Input, Static

from shopday.app.dialogs.dialog import Dialog
from shopday.app.widgets.choices import Choice, Choices
from shopday.app.widgets.pick_line import Pickable, PickLine
from shopday.text.cells import cut, wrapped
from shopday.text.safe import clean

Fields = Mapping[str, object]
"""Values by field name; None removes the field."""


@dataclass(frozen=True)
class Blank:
    """One line of a form.

    name, label: the field's name in the file, and its label.
    typed:       what stands there at the start.
    read:        reads what was typed as a value for the file; raises ValueError, which says what would be right.
    pickable:    what can be picked, if nothing is to be typed; `many`: more than one.
    needed:      the message if it is left empty and must not be.
    """

    name: str
    label: str
    typed: str = ""
    hint: str = ""
    read: Callable[[str], object] = str
    pickable: Pickable = ()
    many: bool = False
    needed: str = ""


@dataclass(frozen=True)
class SeenFile:
    """A file as it was when its form was opened. content: None if there was none."""

    path: Path
    content: bytes | None

    @classmethod
    def of(cls, path: Path) -> SeenFile:
        return cls(path, _content(path))

    @property
    def changed(self) -> bool:
        return _content(self.path) != self.content


def _content(path: Path) -> bytes | None:
    try:
        return path.read_bytes()
    except OSError:
        return None


class FormDialog(Dialog[Fields | None]):
    """Returns the changed fields (None for one that was emptied), or None if the form was left.

    seen:       the file it edits; the form stays open if somebody else has changed that meanwhile.
    everything: return all fields, not only the changed ones.
    """

    CONTENT = ("_title", "_blanks", "_seen", "_removable", "_everything")

    def __init__(
        self,
        title: str,
        blanks: Sequence[Blank],
        seen: SeenFile | None = None,
        removable: bool = False,
        everything: bool = False,
    ) -> None:
        super().__init__()
        self._seen = seen
        self._title, self._blanks = title, tuple(blanks)
        self._removable, self._everything = removable, everything

    @property
    def kind(self) -> str:
        return "-".join(("form", *(blank.name + "-pick" * bool(blank.pickable) for blank in self._blanks)))

    def compose_dialog(self) -> ComposeResult:
        with VerticalScroll(id="dialog", can_focus=False):
            yield Static(id="title")
            with Horizontal(id="blanks"):
                yield Static(id="labels")
                with Vertical(id="lines"):
                    for blank in self._blanks:
                        yield (
                            PickLine(f"b-{blank.name}")
                            if blank.pickable
                            else Input(id=f"b-{blank.name}", compact=True)
                        )
            yield Static(id="wrong")
            yield Choices()

    def fill(self) -> None:
        self.query_one("#title", Static).update(Content(clean(self._title)))
        for blank in self._blanks:
            line = self._line(blank)
            line.value, line.placeholder = clean(blank.typed), blank.hint
            line.border_title = Content(clean(blank.label))  # seen where the screen is narrow
            if isinstance(line, PickLine):
                line.pickable, line.many = blank.pickable, blank.many
        self._object_at({})
        self._object("")
        remove = [Choice("remove", "Remove it")] if self._removable else []
        self.query_one(Choices).offer(
            Choice("keep", "Keep", "Enter"), *remove, Choice("leave", "Back", "Esc")
        )
        if isinstance(first := self._line(self._blanks[0]), Input):
            first.action_select_all()

    def _line(self, blank: Blank) -> Input | PickLine:
        line = self.query_one(f"#b-{blank.name}")
        assert isinstance(line, Input | PickLine)
        return line

    def _keep(self) -> None:
        """Read all lines. Each error is shown at its line, and the cursor goes to the first."""
        changed: dict[str, object] = {}
        wrong: dict[str, str] = {}
        for blank in self._blanks:
            typed = self._line(blank).value.strip()
            if blank.needed and not typed:
                wrong[blank.name] = blank.needed
            elif self._everything or typed != clean(blank.typed).strip():
                try:
                    changed[blank.name] = blank.read(typed) if typed else None
                except ValueError as error:
                    wrong[blank.name] = str(error)
        self._object_at(wrong)
        if wrong:
            self.query_one(f"#b-{next(iter(wrong))}").focus()
        else:
            self._end(changed)

    def _object_at(self, wrong: Mapping[str, str]) -> None:
        """Show below each line what is wrong with it, by its name."""
        lines, labels = self.query_one("#lines"), list[str]()
        told = {each.id: each for each in lines.query_children(".wrong-line").results(Static)}
        for blank in self._blanks:
            below, id = wrapped(wrong.get(blank.name, ""), lines.size.width), f"w-{blank.name}"
            if below and id not in told:
                lines.mount(Static(Content(below), id=id, classes="wrong-line"), after=self._line(blank))
            elif id in told:
                told[id].display = bool(below)
                told[id].update(Content(below))
            labels.append(cut(blank.label, LABEL) + "\n" * ((below.count("\n") + 1) * bool(below)))
        self.query_one("#labels", Static).update(Content("\n".join(labels)))

    def _end(self, fields: Fields) -> None:
        if fields and self._seen is not None and self._seen.changed:
            self._object(
                f"{self._seen.path.name} was changed by somebody else meanwhile; nothing was written. "
                "What you typed stays here; press Esc and open this again to see what is there now."
            )
        else:
            self.dismiss(fields)

    def _object(self, wrong: str) -> None:
        self.query_one("#wrong", Static).update(Content(clean(wrong)))

    def on_pick_line_opened(self, event: PickLine.Opened) -> None:
        from shopday.app.dialogs.pick_dialog import PickDialog  # loaded when first needed

        line, label = event.line, next(b.label for b in self._blanks if f"b-{b.name}" == event.line.id)

        def take(picked: tuple[str, ...] | None) -> None:
            if picked is not None:
                line.value = ", ".join(picked)

        self.app.push_screen(PickDialog(label, line.pickable, line.picked, line.many), take)

    def on_input_submitted(self, event: Input.Submitted) -> None:
        self._keep()

    def on_choices_chosen(self, event: Choices.Chosen) -> None:
        if event.id == "keep":
            self._keep()
        elif event.id == "remove":
            self._end(REMOVE)
        else:
            self.dismiss(None)


LABEL = 23
"""The width of labels in cells."""

REMOVE: Fields = {"remove": True}
"""The form's answer if the entry is to be deleted."""
