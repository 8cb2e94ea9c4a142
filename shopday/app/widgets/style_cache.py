"""Caches computed styles: recomputing them took most of the time of a key that changes screen or list."""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache
from typing import TYPE_CHECKING, Any

from rich.console import RenderableType
from rich.segment import Segment
from rich.style import Style
from textual.color import Color
from textual.renderables.background_screen import BackgroundScreen

if TYPE_CHECKING:
    from textual.screen import Screen

    MixedScreen = Screen[Any]
    from textual.widget import Widget as Mixed
else:  # a widget as a base class would end the inheritance of styles
    Mixed = MixedScreen = object


class CachedStyles(Mixed):
    """For a widget whose styles depend only on the theme, the terminal's focus and its own classes.

    In particular not on `:focus`: such widgets draw the focus themselves.
    """

    _looks: tuple[object, ...] = ()

    def update_node_styles(self, animate: bool = True) -> None:
        looks = self.app.theme, self.app.app_focus, self.classes
        if looks != self._looks:
            self._looks = looks
            super().update_node_styles(animate)


class CachedScreenStyles(CachedStyles, MixedScreen):
    """For a screen, whose widgets are styled once when they are mounted."""

    def on_compose(self) -> None:
        """Take the class of the width before there are widgets; Textual gives it later, and styles all of them anew."""
        breakpoints = self.app.HORIZONTAL_BREAKPOINTS or []
        fitting = [name for least, name in sorted(breakpoints) if self.app.size.width >= least]
        self.add_class(*fitting[-1:])

    def render(self) -> RenderableType:
        beneath = super().render()
        return Dimmed(beneath.screen, beneath.color) if isinstance(beneath, BackgroundScreen) else beneath


class Dimmed(BackgroundScreen):
    """The screen beneath a dialog, in dimmed colours, of which there are few."""

    @classmethod
    def process_segments(cls, segments: Iterable[Segment], color: Color) -> Iterable[Segment]:
        for segment in segments:
            yield segment if segment.control else Segment(segment.text, _dimmed(segment.style, color))


@lru_cache(maxsize=512)
def _dimmed(style: Style | None, color: Color) -> Style | None:
    (dimmed,) = BackgroundScreen.process_segments([Segment("", style)], color)
    return dimmed.style
