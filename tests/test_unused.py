"""No function, class, method or property of the product is without a caller."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from vulture import Vulture

PACKAGE = Path(__file__).parents[1] / "shopday"

KINDS = {"function", "class", "method", "property"}

CALLED_BY_LIBRARIES = [
    "__getattr__",  # Python: a name of a module that is loaded when asked for
    "on_*",  # Textual: what happens to a widget or the app
    "check_action",  # Textual: whether a key means anything now
    "compose",  # Textual: the children of a widget
    "get_content_height",  # Textual: the height a widget wants
    "can_replace",  # Textual: whether a message waiting may give way to a newer one
    "get_system_commands",  # Textual: the entries of the command palette
]

CALLED_BY_TYPE = [
    f"_{type}" for type in ("constant", "binop", "unaryop", "boolop", "compare", "ifexp", "call")
]
"""`shop/recipes/expressions.py` chooses the method by the type of the node."""

CALLED_BY_DECORATOR = ["@model_validator"]
"""Pydantic calls them when it reads a model."""

NAMED = re.compile(r"(?:\w+:)?(\w+)(?:\('?(\w*).*)?")
"""A string that calls something by its name: "app_commands:demo_command" of a command, "do_step('overrun')" of a key, a screen's class."""


def called_by_name(source: str) -> Iterator[str]:
    """The names in those strings of a module that hold nothing else."""
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Constant) and isinstance(node.value, str):
            found = NAMED.fullmatch(node.value)
            yield from filter(None, found.groups() if found else ())


def unused(*sources: Path) -> set[str]:
    """What nothing calls, as "file: name"."""
    named = {name for source in sources for name in called_by_name(source.read_text("utf-8"))}
    vulture = Vulture(
        ignore_names=[*CALLED_BY_LIBRARIES, *CALLED_BY_TYPE], ignore_decorators=CALLED_BY_DECORATOR
    )
    vulture.scavenge(sources)
    return {
        f"{item.filename.name}: {item.name}"
        for item in vulture.get_unused_code(min_confidence=60)
        if item.typ in KINDS and item.name.removeprefix("action_") not in named
    }


@pytest.mark.slow
def test_every_function_has_a_caller() -> None:
    found = unused(*sorted(PACKAGE.rglob("*.py")))
    assert found == set()


@pytest.mark.parametrize(
    ("text", "left"),
    [
        ("def alone(): ...", {"some.py: alone"}),
        ("def asked(): ...\nasked()", set()),
        ("def asked(): ...\nTABLE = ['front:asked']", set()),
        ("def asked(): ...\nTABLE = ['whoever asked']", {"some.py: asked"}),
        ("class Box:\n    def action_move(self): ...\nBox()", {"some.py: action_move"}),
        ("class Box:\n    KEYS = ['move(1)', 'move']\n    def action_move(self): ...\nBox()", set()),
    ],
)
def test_the_check_of_callers_finds_unused_functions(text: str, left: set[str], tmp_path: Path) -> None:
    source = tmp_path / "some.py"
    source.write_text(text)
    assert unused(source) == left
