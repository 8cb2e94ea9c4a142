"""The app in a browser on a phone, and on a tablet upright and across, driven by taps: pictures to look at.

    python tests/bench/browser_pictures.py FOLDER

Writes PNG files into FOLDER: every place, a finish logged, one more pass, a new job. Wants a Chromium (`chromium`, or
what CHROMIUM names).
"""

from __future__ import annotations

import asyncio
import base64
import datetime as dt
import json
import os
import re
import subprocess
import sys
import tempfile
from collections.abc import Iterable
from pathlib import Path
from typing import Any

from aiohttp import ClientSession, ClientWebSocketResponse

from shopday.planning.demo_copy import copy_demo
from shopday.planning.open_shop import OpenShop

NOW = "2026-12-02T10:05"
DEVICES = {"phone": (390, 844), "tablet": (820, 1180), "tablet-across": (1180, 820)}
PLACES = ("Today", "Jobs", "Ahead", "New", "Shop", "To get", "Done")
SETTLED = 2.5
"""Seconds after which a picture is taken."""


class Page:
    """One page of the browser, by its own protocol."""

    def __init__(self, socket: ClientWebSocketResponse) -> None:
        self._socket, self._number = socket, 0

    async def do(self, method: str, **more: Any) -> dict[str, Any]:
        self._number += 1
        await self._socket.send_json({"id": self._number, "method": method, "params": more})
        while True:
            answer = await self._socket.receive_json(timeout=60)
            if answer.get("id") == self._number:
                return answer.get("result", {})

    async def ask(self, script: str) -> Any:
        found = await self.do("Runtime.evaluate", expression=script, returnByValue=True)
        return found["result"].get("value")

    async def tap(self, x: float, y: float) -> None:
        await self.do("Input.dispatchTouchEvent", type="touchStart", touchPoints=[{"x": x, "y": y}])
        await self.do("Input.dispatchTouchEvent", type="touchEnd", touchPoints=[])
        await asyncio.sleep(SETTLED)

    async def press(self, label: str) -> None:
        """Tap the button of the page with this text."""
        script = (
            f"(() => {{ for (const b of document.querySelectorAll('nav button')) if (b.textContent === {json.dumps(label)}) "
            "{ const r = b.getBoundingClientRect(); return [r.x + r.width / 2, r.y + r.height / 2, r.height]; } })()"
        )
        x, y, high = await self.ask(script)
        assert high >= 48, (label, high)
        await self.tap(x, y)

    async def foot(self) -> tuple[float, float]:
        """The middle of the terminal's last line, and how wide a letter is."""
        line = await self.ask("document.querySelector('nav').getBoundingClientRect().y - 12")
        return line, 0.6 * float(await self.ask("terminal.dataset.fontSize"))

    async def type(self, text: str) -> None:
        for char in text:
            await self.do("Input.dispatchKeyEvent", type="char", text=char)
        await asyncio.sleep(SETTLED)

    async def picture(self, file: Path) -> None:
        found = await self.do("Page.captureScreenshot", format="png")
        file.write_bytes(base64.b64decode(found["data"]))


async def device(page: Page, url: str, name: str, size: tuple[int, int], target: Path) -> None:
    wide, high = size
    await page.do(
        "Emulation.setDeviceMetricsOverride", width=wide, height=high, deviceScaleFactor=1, mobile=True
    )
    await page.do("Emulation.setTouchEmulationEnabled", enabled=True)
    await page.do("Page.navigate", url=url)
    while not await page.ask("document.body.classList.contains('-first-byte')"):
        await asyncio.sleep(1)
    await asyncio.sleep(3 * SETTLED)
    for number, place in enumerate(PLACES, 1):
        await page.press(place)
        await page.picture(target / f"{name}-{number}-{place.lower().replace(' ', '-')}.png")
    keyboard = await page.ask("document.querySelector('.xterm-helper-textarea').getAttribute('inputmode')")
    print(f"{name}: laid out {await page.ask('innerWidth')} wide, letters {await page.ask('terminal.dataset.fontSize')} px, "
          f"keyboard on a tap: {keyboard}, page wider than the screen: {await page.ask('document.documentElement.scrollWidth > innerWidth')}")  # fmt: skip
    await new_job(page, name, target)
    await logging(page, name, target)


async def new_job(page: Page, name: str, target: Path) -> None:
    """A piece with one part, kept as a quote."""
    await page.press("New")
    await page.press("abc")
    await page.type(f"Stool of the {name}")
    await page.press("abc")
    await page.picture(target / f"{name}-8-new-job-typed.png")
    await page.press("Esc")
    await page.type("r")
    await page.press("Enter")
    await page.press("Enter")
    await page.picture(target / f"{name}-9-new-job-part.png")
    foot, letter = await page.foot()
    keep = foot - 7 * 2.2 * letter  # seven rows above the foot; on a tablet in the right half
    await page.tap(100 if name == "phone" else 0.64 * await page.ask("innerWidth"), keep)
    await asyncio.sleep(SETTLED)
    await page.picture(target / f"{name}-10-new-job-kept.png")


async def logging(page: Page, name: str, target: Path) -> None:
    """What is under way, finished by a tap on the foot; then one more pass."""
    await page.press("Today")
    foot, letter = await page.foot()
    for column, file in ((12.5, "11-finished"), (23.0, "12-one-more-pass")):
        await page.tap(column * letter, foot)
        await asyncio.sleep(SETTLED)
        await page.picture(target / f"{name}-{file}.png")


def report(name: str, shop: Path) -> None:
    """Print what reached the files, and take the facts back for the next device."""
    open_shop = OpenShop(shop)
    facts = [fact.about for fact in open_shop.journal.facts()][-2:]
    print(f"{name}: the last facts are {facts}; quotes: {[job.title for job in open_shop.folder.jobs.values() if job.status == 'quote']}")  # fmt: skip
    for _ in facts:
        open_shop.undo()


async def drive(url: str, debugging: str, shop: Path, target: Path) -> None:
    async with ClientSession() as http:
        async with http.put(f"{debugging}/json/new?about:blank") as made:
            address = (await made.json())["webSocketDebuggerUrl"]
        async with http.ws_connect(address, max_msg_size=1 << 27) as socket:
            page = Page(socket)
            for name, size in DEVICES.items():
                await device(page, url, name, size, target)
                report(name, shop)


def first_line(lines: Iterable[str], pattern: str) -> str:
    return next(found[1] for line in lines if (found := re.search(pattern, line)))


def main() -> None:
    target = Path(sys.argv[1])
    target.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory(ignore_cleanup_errors=True) as name:
        shop = copy_demo(Path(name) / "demo", dt.datetime.fromisoformat(NOW))
        serve = [sys.executable, "-m", "shopday", "--shop", str(shop), "--now", NOW, "serve", "--port", "0"]
        browse = [os.environ.get("CHROMIUM", "chromium"), "--headless", "--no-sandbox", "--disable-gpu",
                  "--remote-debugging-port=0", f"--user-data-dir={name}/browser", "about:blank"]  # fmt: skip
        with (
            subprocess.Popen(serve, stdout=subprocess.PIPE, text=True) as server,
            subprocess.Popen(browse, stderr=subprocess.PIPE, text=True) as browser,
        ):
            try:
                assert server.stdout is not None
                assert browser.stderr is not None
                url = first_line(server.stdout, r"(http://[\d.:]+)")
                debugging = first_line(browser.stderr, r"ws://([\d.:]+)/")
                asyncio.run(drive(url, f"http://{debugging}", shop, target))
            finally:
                server.terminate()
                browser.terminate()


if __name__ == "__main__":
    main()
