"""Write three screens of the demo shop as text, and the keys, between their marks in README.md.

Run it from the repository: python tests/app/readme_screens.py
"""

from __future__ import annotations

import asyncio
import datetime as dt
import tempfile
from pathlib import Path
from zoneinfo import ZoneInfo

from local_planner import LocalPlanner
from textual.binding import Binding
from textual.pilot import Pilot

from shopday.app.app import ShopdayApp
from shopday.app.screens.screen_registry import CLASSES, screen_class
from shopday.app.screens.shop_screen import ShopScreen
from shopday.app.widgets.header import PLACES
from shopday.planning.demo_copy import copy_demo
from shopday.planning.open_shop import OpenShop

README = Path(__file__).parents[2] / "README.md"
NOW = dt.datetime(2026, 12, 2, 10, 5, tzinfo=ZoneInfo("Europe/London"))
SCREENS = (
    ("**Today**, beside it what is being waited on:", "1", (112, 26)),
    ("**Jobs**, those at risk on top, and how sure the one under the cursor is:", "2", (80, 17)),
    ("**Ahead**, the next weeks in lanes:", "3", (100, 16)),
)  # fmt: skip


def lines(app: ShopdayApp) -> str:
    """The screen as it stands, line by line."""
    strips = app.screen._compositor.render_strips()
    return "\n".join(strip.text.rstrip() for strip in strips).rstrip()


async def shown(shop: Path, key: str, size: tuple[int, int]) -> str:
    open_shop = OpenShop(shop, NOW)
    app = ShopdayApp(lambda hand_on: hand_on(open_shop), LocalPlanner(open_shop))
    async with app.run_test(size=size) as pilot:
        await settled(pilot)
        await pilot.press(key)
        app.session.tell("")
        await settled(pilot)
        return lines(app)


async def settled(pilot: Pilot[None]) -> None:
    await pilot.pause()
    await pilot.pause(0.2)


def text() -> str:
    with tempfile.TemporaryDirectory() as folder:
        shop = copy_demo(Path(folder) / "shop", NOW)
        pieces = [
            f"{says}\n\n```text\n{asyncio.run(shown(shop, key, size))}\n```" for says, key, size in SCREENS
        ]
    return "\n\n".join(pieces)


def keys() -> str:
    """The keys that work everywhere, and those of each place, as the help says them."""
    places = ((PLACES.get(name, "A job"), screen_class(name)) for name in CLASSES)
    rows = [f"| {where} | {_listed(cls)} |" for where, cls in (("everywhere", ShopdayApp), *places)]
    return "\n".join(["| where | keys |", "| --- | --- |", *rows])


def _listed(cls: type[ShopdayApp] | type[ShopScreen]) -> str:
    """What a class declares itself: "`s` Start; `f` Finish"."""
    own = (b for b in cls.BINDINGS if isinstance(b, Binding) and b.description)
    return "; ".join(f"`{b.key_display or b.key.partition(',')[0]}` {b.description}" for b in own)


def between(readme: str, name: str, content: str) -> str:
    """The text with new content between two marks."""
    before, begin, rest = readme.partition(f"<!-- {name} -->\n")
    _, end, after = rest.partition(f"<!-- /{name} -->")
    return f"{before}{begin}{content}\n{end}{after}"


def main() -> None:
    readme = README.read_text("utf-8")
    README.write_text(between(between(readme, "screens", text()), "keys", keys()), "utf-8")


if __name__ == "__main__":
    main()
