"""The bottom line: the keys of the screen that are used most; all of them are in the help."""

from __future__ import annotations

from textual.screen import Screen

from shopday.app.tapline import Tap, TapLine


class Foot(TapLine):
    def on_mount(self) -> None:
        self.screen.bindings_updated_signal.subscribe(self, self._show_keys)

    def _show_keys(self, screen: Screen[object]) -> None:
        shown: dict[str, Tap] = {}
        for bound in screen.active_bindings.values():
            if bound.binding.show and bound.enabled:
                key = self.app.get_key_display(bound.binding)
                shown.setdefault(bound.binding.action, Tap(key, bound.binding.description, bound.binding.key))
        self.taps = tuple(shown.values())

    def tapped(self, tap: Tap) -> None:
        self.app.simulate_key(tap.does)
