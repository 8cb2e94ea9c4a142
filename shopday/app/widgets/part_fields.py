"""The fields of one part in the New job form: a line for each number its recipe asks for, or for what is bought."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.content import Content
from textual.widget import Widget
from textual.widgets import Input, Select, Static

from shopday.app.forms.new_job_form import PartForm
from shopday.app.widgets.link_bar import FoldedLinks, Link, LinkBar
from shopday.shop.measures import Units, amount_in, own_unit
from shopday.text.safe import clean

if TYPE_CHECKING:
    from shopday.shop.folder import ShopFolder
    from shopday.shop.recipes.recipe_library import Parameter


class TextField(Horizontal):
    """A label with a line to type in. Typing replaces what stands there, unless it is `kept`."""

    def __init__(self, label: str, typed: str, id: str, hint: str = "", kept: bool = False) -> None:
        super().__init__(classes="field")
        self._label = label
        self._input = Input(typed, id=id, placeholder=hint, compact=True, select_on_focus=not kept)

    def compose(self) -> ComposeResult:
        yield Static(Content(clean(self._label)), classes="label")
        yield self._input


class AmountField(Horizontal):
    """A label with a number and its unit, unless the label names the unit; numbers stand in line where there is room."""

    def __init__(self, parameter: Parameter, typed: str, units: Units, hint: str = "") -> None:
        super().__init__(classes="field")
        self._parameter, self._typed, self._hint = parameter, typed, hint
        self._unit = own_unit(parameter.unit, units)

    def compose(self) -> ComposeResult:
        name, unit = self._parameter.name, self._unit
        yield Static(Content(clean(name)), classes="label")
        yield Input(
            self._typed, id=f"p-{self._parameter.id}", classes="number", placeholder=self._hint, compact=True
        )
        if unit and unit.lower() not in name.lower().split():
            yield Static(Content(clean(unit)), classes="unit")
        else:
            yield Static(classes="unit no-unit")


class PartKeys(FoldedLinks, can_focus=True):
    """What can be done to a part, by key while this has the focus, or by a tap."""

    def __init__(self, form: PartForm) -> None:
        super().__init__()
        buy = Link("B", "Make it" if form.bought else "Buy it", "buy")
        self.set_reactive(
            LinkBar.links,
            (
                Link("b", "Earlier", "move(-1)"),
                Link("n", "Later", "move(1)"),
                *([] if form.recipe.finishing else [buy]),
                Link("Del", "Not needed", "skip"),
            ),
        )

    def render(self) -> Content:
        line = super().render()
        return Content.assemble("›", line[1:]) if self.has_focus else line

    def follow(self, link: Link) -> None:
        self.screen.set_focus(self)
        self.app.run_worker(self.app.run_action(f"screen.{link.does}"))


BUYING = (
    ("what", "What comes", ""), ("on", "To be here", "18 Dec, in 2 weeks"), ("source", "From whom", ""),
)  # fmt: skip
"""What is asked of a bought part: field, label, hint."""


OF_PIECES = "as the pieces"


class PartFields(Vertical):
    """The fields of a part. They keep `form` up to date with what is typed."""

    def __init__(self, form: PartForm, folder: ShopFolder) -> None:
        super().__init__(classes="part")
        self.form, self._shop, self._materials = form, folder.shop, folder.materials

    def compose(self) -> ComposeResult:
        from shopday.shop.recipes.recipe_library import parameters_of

        form = self.form
        yield Static(Content(clean(form.recipe.name)), classes="part-name")
        yield PartKeys(form)
        for name, label, hint in BUYING if form.bought else ():
            yield TextField(
                label, getattr(form, name), f"buy-{name}", hint or clean(form.recipe.name) * (name == "what")
            )
        for parameter in parameters_of(form.recipe, form.bought):
            yield self._field(parameter)

    def _field(self, parameter: Parameter) -> Widget:
        from shopday.shop.recipes.recipe_library import choices, default_of

        typed = self.form.values.get(parameter.id)
        if parameter.kind == "number" and parameter.from_pieces:
            return AmountField(parameter, typed or "", self._shop.units, OF_PIECES)
        if parameter.kind == "number":
            usual = default_of(parameter, self._shop)
            return AmountField(
                parameter,
                typed or amount_in(float(usual), parameter.unit, self._shop.units),
                self._shop.units,
            )
        options = [
            (Content(clean(self._named(c))), c) for c in choices(parameter, self._materials, self._shop)
        ]
        chosen = self.form.values.get(parameter.id, str(parameter.default))
        known = any(value == chosen for _, value in options)
        select = Select(
            options, value=chosen if known else Select.NULL, allow_blank=not known,
            id=f"p-{parameter.id}", compact=True,
        )  # fmt: skip
        return Horizontal(Static(Content(clean(parameter.name)), classes="label"), select, classes="field")

    def mark(self, wrong: str | None) -> None:
        """Mark the parameter with a wrong value; None: no parameter."""
        for line in self.query("AmountField Input").results(Input):
            line.set_class(line.id == f"p-{wrong}", "wrong")

    def _named(self, choice: str) -> str:
        material = self._materials.get(choice)
        return material.name if material and material.name else choice.replace("-", " ")

    def on_input_changed(self, event: Input.Changed) -> None:
        self._keep(event.input.id, event.value)

    def on_select_changed(self, event: Select.Changed) -> None:
        if event.value is not Select.NULL:
            self._keep(event.select.id, str(event.value))

    def _keep(self, id: str | None, value: str) -> None:
        kind, _, name = (id or "").partition("-")
        if kind == "buy":
            setattr(self.form, name, value)
        else:
            self.form.values[name] = value.strip()
