"""Caches computed styles: recomputing them took most of the time of a key that changes screen or list."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from textual.widget import Widget as Mixed
else:  # a widget as a base class would end the inheritance of styles
    Mixed = object


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
