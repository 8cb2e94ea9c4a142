"""The keys this app gives a screen, for the help and the command list: each action once, without Textual's own."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from textual.app import App
from textual.binding import Binding
from textual.screen import Screen


def own_bindings(app: App[Any], screen: Screen[Any]) -> Iterator[tuple[Binding, bool]]:
    """What the app binds on a screen, and whether the screen itself does it."""
    own = {b.action for cls in (*type(screen).__mro__, type(app)) for b in _declared(cls)}
    for bound in screen.active_bindings.values():
        if bound.binding.action in own and bound.binding.description and not _theirs(bound.binding):
            own.discard(bound.binding.action)
            yield bound.binding, bound.node is screen


def declared_bindings(app: App[Any], screen: Screen[Any]) -> Iterator[tuple[Binding, bool]]:
    """The same without regard to what has the focus."""
    yield from ((binding, True) for cls in type(screen).__mro__ for binding in _declared(cls))
    yield from ((binding, False) for binding in _declared(type(app)))


def _theirs(binding: Binding) -> bool:
    """Textual has keys of its own for some of the same, which are not ours to teach."""
    return binding.key.startswith("ctrl+")


def _declared(cls: type) -> list[Binding]:
    """Bindings that a class of this app declares itself."""
    ours = cls.__module__.startswith("shopday.")
    return [b for b in cls.__dict__.get("BINDINGS", ()) if isinstance(b, Binding)] if ours else []
