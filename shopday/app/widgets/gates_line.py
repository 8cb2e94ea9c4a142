"""The gates of a new job: deposit, drawing, timber, hardware, each switched by one key."""

from __future__ import annotations

from collections.abc import Container

from shopday.app.widgets.link_bar import FoldedLinks, Link

GATE_KEYS = (
    ("deposit", "p", "Deposit"),
    ("drawing", "g", "Drawing"),
    ("timber", "t", "Timber"),
    ("hardware", "h", "Hardware"),
)
"""Id of the gate, key, label."""


class GatesLine(FoldedLinks):
    def show(self, chosen: Container[str]) -> None:
        """Mark the chosen gates by a sign and a look."""
        self.links = tuple(
            Link(key, f"✓{label}" if gate in chosen else label, f"gate('{gate}')", gate in chosen)
            for gate, key, label in GATE_KEYS
        )

    def follow(self, link: Link) -> None:
        self.app.run_worker(self.app.run_action(f"screen.{link.does}"))
