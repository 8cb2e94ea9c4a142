"""The bottom line: the keys of the screen that are used most; all of them are in the help."""

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
        """While one types in a field letters are no keys: Escape first. A tap works all the same."""
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
