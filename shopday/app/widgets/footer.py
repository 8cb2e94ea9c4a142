"""The bottom line: the most used keys of the screen; the help has them all."""

from __future__ import annotations

from textual.screen import Screen
from textual.widgets import Input

from shopday.app.key_bindings import declared_bindings, own_bindings
from shopday.app.widgets.link_bar import Link, LinkBar

LEAVE_FIELD = Link("Esc", "then", "screen.leave_field")


class ShopFooter(LinkBar):
    menu = Link("≡", "More", "command_palette")
    menu_stays = True

    def on_mount(self) -> None:
        self.screen.bindings_updated_signal.subscribe(self, self._show_keys)

    def _show_keys(self, screen: Screen[object]) -> None:
        """Show the keys. While the person types in a field, letters are no keys (Escape leaves it), but taps still
        work."""
        typing = isinstance(screen.focused, Input)
        keys = tuple(
            Link(
                self.app.get_key_display(binding),
                binding.description,
                f"{'screen.' * its_own}{binding.action}",
            )
            for binding, its_own in (declared_bindings if typing else own_bindings)(self.app, screen)
            if binding.show
        )
        self.links = (LEAVE_FIELD, *keys) if typing else keys

    def follow(self, link: Link) -> None:
        self.app.run_worker(self.app.run_action(link.does))
