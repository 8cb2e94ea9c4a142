"""The fields of one part in the New job form: one line for each number its recipe asks for."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING

from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.content import Content
from textual.message import Message
from textual.widget import Widget
from textual.widgets import Button, Input, Select, Static

from shopday.app.job_form import PartForm
from shopday.shop.plain import clean

if TYPE_CHECKING:
    from shopday.shop.models import Material
    from shopday.shop.recipes import Parameter


class Field(Horizontal):
    """A label with a line to type in."""

    def __init__(self, label: str, typed: str, id: str | None = None, hint: str = "") -> None:
        super().__init__(classes="field")
        self._label, self._typed, self._input_id, self._hint = label, typed, id, hint

    def compose(self) -> ComposeResult:
        yield Static(Content(clean(self._label)), classes="label")
        yield Input(self._typed, id=self._input_id, placeholder=self._hint, compact=True)


class PartFields(Vertical):
    """Keeps `form` up to date with what is typed."""

    class Dropped(Message):
        """The part is not wanted after all."""

        def __init__(self, fields: PartFields) -> None:
            super().__init__()
            self.fields = fields

    def __init__(self, form: PartForm, materials: Mapping[str, Material]) -> None:
        super().__init__(classes="part")
        self.form, self._materials = form, materials

    def compose(self) -> ComposeResult:
        with Horizontal(classes="field"):
            yield Static(Content(clean(self.form.recipe.name)), classes="part-name")
            yield Button(Content("leave out"), compact=True)
        for parameter in self.form.recipe.parameters:
            yield from self._field(parameter)

    def _field(self, parameter: Parameter) -> Iterator[Widget]:
        from shopday.shop.recipes import choices

        label = f"{parameter.name}, {parameter.unit}" if parameter.unit else parameter.name
        if parameter.kind == "number":
            typed = self.form.values.get(parameter.id, f"{parameter.default:g}")
            yield Field(label, typed, f"p-{parameter.id}")
            return
        options = [(Content(clean(self._named(c))), c) for c in choices(parameter, self._materials)]
        chosen = self.form.values.get(parameter.id, str(parameter.default))
        known = any(value == chosen for _, value in options)
        with Horizontal(classes="field"):
            yield Static(Content(clean(label)), classes="label")
            yield Select(
                options, value=chosen if known else Select.NULL, allow_blank=not known,
                id=f"p-{parameter.id}", compact=True,
            )  # fmt: skip

    def _named(self, choice: str) -> str:
        material = self._materials.get(choice)
        return material.name if material and material.name else choice.replace("-", " ")

    def on_input_changed(self, event: Input.Changed) -> None:
        self._keep(event.input.id, event.value)

    def on_select_changed(self, event: Select.Changed) -> None:
        if event.value is not Select.NULL:
            self._keep(event.select.id, str(event.value))

    def _keep(self, id: str | None, value: str) -> None:
        self.form.values[(id or "").removeprefix("p-")] = value.strip()

    def on_button_pressed(self, event: Button.Pressed) -> None:
        event.stop()
        self.post_message(self.Dropped(self))
