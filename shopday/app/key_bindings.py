"""The app's keys on a screen, for the help and the command list: each action once, without Textual's own."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from textual.app import App
from textual.binding import Binding
from textual.screen import Screen

SIDEWAYS = ("scroll_left", "scroll_right")
"""Actions of Textual's lists that leave their keys to the screen, as no list here is wider than its window."""


def own_bindings(app: App[Any], screen: Screen[Any]) -> Iterator[tuple[Binding, bool]]:
    """The app's active bindings on a screen, each with whether the screen itself declares it."""
    own = {b.action for cls in (*type(screen).__mro__, type(app)) for b in _declared(cls)}
    active = screen.active_bindings
    for bound in active.values():
        if bound.binding.action in own and bound.binding.description and not _theirs(bound.binding):
            own.discard(bound.binding.action)
            yield bound.binding, bound.node is screen
    passed_on = {key for key, bound in active.items() if bound.binding.action in SIDEWAYS}
    for binding, its_own in declared_bindings(app, screen):
        if binding.key in passed_on and screen.check_action(binding.action.partition("(")[0], ()):
            yield binding, its_own


def declared_bindings(app: App[Any], screen: Screen[Any]) -> Iterator[tuple[Binding, bool]]:
    """The same, whatever has the focus."""
    yield from ((binding, True) for cls in type(screen).__mro__ for binding in _declared(cls))
    yield from ((binding, False) for binding in _declared(type(app)))


def _theirs(binding: Binding) -> bool:
    """True for Textual's own keys for some of the same actions, which the help leaves out."""
    return binding.key.startswith("ctrl+")


def _declared(cls: type) -> list[Binding]:
    """The bindings that a class of this app declares itself."""
    ours = cls.__module__.startswith("shopday.")
    return [b for b in cls.__dict__.get("BINDINGS", ()) if isinstance(b, Binding)] if ours else []
