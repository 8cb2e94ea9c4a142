"""The gates of a new job: deposit, drawing, timber, hardware, each switched by a tap, or picked from a list."""

from __future__ import annotations

from collections.abc import Container

from shopday.app.widgets.link_bar import FoldedLinks, Link
from shopday.text import signs

GATES = (("deposit", "Deposit"), ("drawing", "Drawing"), ("timber", "Timber"), ("hardware", "Hardware"))
"""Id of the gate and label."""


class GatesLine(FoldedLinks):
    def show(self, chosen: Container[str]) -> None:
        """Mark the chosen gates by a sign and a look."""
        gates = (
            Link("", f"{signs.DONE if gate in chosen else '·'}{label}", f"gate('{gate}')", gate in chosen)
            for gate, label in GATES
        )
        self.links = (Link("g", "After", "gates"), *gates)

    def follow(self, link: Link) -> None:
        self.app.run_worker(self.app.run_action(f"screen.{link.does}"))
