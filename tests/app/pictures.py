"""Pictures of every screen at every size in every look, to be looked at by a person.

Run it from the repository: python tests/app/pictures.py FOLDER [--screens ahead,jobs] [--sizes 80x24] [--looks dark]
[--zoom 1.0]. It writes SVG, and PNG where rsvg-convert is installed.
"""

from __future__ import annotations

import argparse
import asyncio
import os
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Sequence
from pathlib import Path

from local_planner import LocalPlanner
from readme_screens import NOW, settled
from textual.pilot import Pilot

from shopday.app.app import ShopdayApp
from shopday.planning.demo_copy import copy_demo
from shopday.planning.open_shop import OpenShop

SIZES = ("41x46", "60x18", "80x24", "120x40", "200x50")
FULL = {"TEXTUAL_COLOR_SYSTEM": "truecolor"}
LOOKS = {"dark": FULL, "light": FULL, "plain": {"TEXTUAL_COLOR_SYSTEM": "standard"}, "ink": {"NO_COLOR": "1"}}
"""Each with the environment that brings it about."""
SCREENS = {
    "today": "1",
    "jobs": "2",
    "job": "2 enter",
    "ahead": "3",
    "stations": "3 v",
    "people": "3 v",
    "weeks": "3 v",
    "newjob": "4 escape A end enter",
    "myshop": "5",
    "toget": "6",
    "done": "7",
    "help": "1 question_mark",
    "step": "1 down enter",
}  # fmt: skip
"""Keys that lead to a screen from the ones before it."""


async def take(folder: Path, look: str, screens: Sequence[str], sizes: Sequence[str]) -> None:
    """One app for a look: every screen at every size."""
    with tempfile.TemporaryDirectory() as scratch:
        open_shop = OpenShop(copy_demo(Path(scratch) / "shop", NOW), NOW)
        app = ShopdayApp(lambda hand_on: hand_on(open_shop), LocalPlanner(open_shop))
        async with app.run_test(size=(80, 24), notifications=True) as pilot:
            await settled(pilot)
            if look == "light":
                await pilot.press("l")
            for screen in screens:
                await pilot.press(*SCREENS[screen].split())
                for size in sizes:
                    await pilot.resize_terminal(*map(int, size.split("x")))
                    await settled(pilot)
                    (folder / f"{screen}-{size}-{look}.svg").write_text(app.export_screenshot(title=""))
                await back(pilot)


async def back(pilot: Pilot[None]) -> None:
    """To a screen with number keys, whatever stands open."""
    while len(pilot.app.screen_stack) > 2:
        await pilot.press("escape")
        await settled(pilot)
    await pilot.press("escape")


def converted(folder: Path, zoom: str) -> None:
    """PNG beside each SVG, where the converter is installed."""
    for picture in sorted(folder.glob("*.svg")) if shutil.which("rsvg-convert") else ():
        png = str(picture.with_suffix(".png"))
        subprocess.run(["rsvg-convert", "--zoom", zoom, "-o", png, str(picture)], check=True)


def main() -> None:
    parser = argparse.ArgumentParser()
    parser.add_argument("folder", type=Path)
    for name, known in (("screens", SCREENS), ("sizes", SIZES), ("looks", LOOKS)):
        parser.add_argument(f"--{name}", default=",".join(known))
    parser.add_argument("--zoom", default="0.8")
    args = parser.parse_args()
    args.folder.mkdir(parents=True, exist_ok=True)
    for look in args.looks.split(","):
        if os.environ.items() >= LOOKS[look].items():
            asyncio.run(take(args.folder, look, args.screens.split(","), args.sizes.split(",")))
            converted(args.folder, args.zoom)
        else:  # the environment of a look is read when Textual is loaded
            again = [__file__, str(args.folder), "--screens", args.screens, "--sizes", args.sizes]
            wanted = ["--looks", look, "--zoom", args.zoom]
            subprocess.run([sys.executable, *again, *wanted], env=os.environ | LOOKS[look], check=True)


if __name__ == "__main__":
    main()
