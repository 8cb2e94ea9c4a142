"""A key means one thing, wherever it is pressed."""

from __future__ import annotations

import re
from collections import defaultdict
from importlib import import_module
from pkgutil import walk_packages

from textual.binding import Binding
from textual.dom import DOMNode

import shopday.app

MOVING = {"up", "down", "left", "right", "tab", "enter", "space", "escape"}
"""Keys that move, choose and leave in whatever has the focus; the space bar also puts a step down, as a hand does."""

EXCEPTIONS = {
    "q": ({"quit", "dismiss"}, "leaves what is in front: a dialog, else the app"),
    "question_mark": ({"help", "dismiss"}, "closes the help that it opened"),
    "w": ({"why", "dismiss"}, "closes the reasons that it opened"),
}
"""Actions of a key, and why they are one meaning."""


def bindings_of_the_app() -> list[tuple[type, Binding]]:
    modules = [import_module(found.name) for found in walk_packages(shopday.app.__path__, "shopday.app.")]
    classes = {
        each
        for module in modules
        for each in vars(module).values()
        if isinstance(each, type) and issubclass(each, DOMNode) and each.__module__.startswith("shopday.")
    }
    return [
        (cls, binding)
        for cls in sorted(classes, key=lambda cls: cls.__qualname__)
        for binding in cls.__dict__.get("BINDINGS", ())
        if isinstance(binding, Binding)
    ]


def meaning(binding: Binding) -> str:
    """The action without what it acts on: `do_step('why')` and `choose('why')` are both `why`."""
    return re.sub(r"^(?:do_step|choose)\('(\w+)'\)$", r"\1", binding.action)


def test_each_key_has_one_meaning_in_the_whole_app() -> None:
    found = bindings_of_the_app()
    assert {"ShopdayApp", "NewJobScreen", "JobScreen", "StepDialog", "LessonDialog"} <= {
        cls.__name__ for cls, _ in found
    }
    meanings: dict[str, set[str]] = defaultdict(set)
    for _, binding in found:
        for key in binding.key.split(","):
            meanings[key].add(meaning(binding))
    several = {key: found for key, found in meanings.items() if len(found) > 1 and key not in MOVING}
    assert several == {key: actions for key, (actions, _) in EXCEPTIONS.items()}


def test_each_meaning_has_one_key_in_the_whole_app() -> None:
    """Earlier and later are keys of their own for weeks, which b and n do not move."""
    keys: dict[str, set[str]] = defaultdict(set)
    for _, binding in bindings_of_the_app():
        if binding.description and binding.key not in MOVING:
            keys[meaning(binding)].add(binding.key.partition(",")[0])
    for action in ("move(-1)", "move(1)", "dismiss"):
        keys.pop(action)
    assert {action: found for action, found in keys.items() if len(found) > 1} == {}
