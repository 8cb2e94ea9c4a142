"""One open page, and the process of the app behind it.

The process speaks Textual's protocol for browsers. A packet is a letter (D: what a terminal shows or a person types;
M: a message as JSON), the length in four bytes, and the content.
"""

from __future__ import annotations

import asyncio
import json
import os
from asyncio.subprocess import PIPE, Process
from collections.abc import AsyncIterator, Sequence
from contextlib import suppress

READY = b"__GANGLION__\n"
"""What the app's web driver prints before its first packet."""

SECONDS_TO_END = 2.0
"""Seconds that an app has to end by itself."""


class AppProcess:
    """A running app. Its end of the pipe closes when this process ends, however that happens, and the app ends with
    it."""

    def __init__(self, process: Process) -> None:
        self._process = process

    async def shown(self) -> AsyncIterator[bytes]:
        """Yield what a terminal is to show, until the app ends."""
        assert self._process.stdout is not None
        read = self._process.stdout
        with suppress(asyncio.IncompleteReadError, ConnectionError):
            await read.readuntil(READY)
            while True:
                head = await read.readexactly(5)
                content = await read.readexactly(int.from_bytes(head[1:], "big"))
                if head[:1] == b"D":
                    yield content
                elif head[:1] == b"M" and json.loads(content).get("type") == "exit":
                    return

    async def type(self, text: str) -> None:
        await self._send(b"D", text.encode())

    async def tell(self, **message: object) -> None:
        await self._send(b"M", json.dumps(message).encode())

    async def _send(self, kind: bytes, content: bytes) -> None:
        """Send a packet; nothing happens if the app is gone."""
        assert self._process.stdin is not None
        with suppress(OSError, RuntimeError):
            self._process.stdin.write(kind + len(content).to_bytes(4, "big") + content)
            await self._process.stdin.drain()

    async def end(self) -> None:
        """Quit the app; what was typed before is still done."""
        try:
            with suppress(TimeoutError):
                async with asyncio.timeout(SECONDS_TO_END):
                    await self.tell(type="quit")
                    await self._process.wait()
        finally:
            with suppress(ProcessLookupError):
                self._process.kill()


async def start_app(command: Sequence[str], width: int, height: int, fingers: bool = False) -> AppProcess:
    """Start an app for a page of this width and height in characters; fingers: it is tapped with them. Raises OSError if
    no process can be started."""
    environment = (
        os.environ
        | {
            "TEXTUAL_DRIVER": "textual.drivers.web_driver:WebDriver",
            "TEXTUAL_COLOR_SYSTEM": "truecolor",
            "COLUMNS": str(width),
            "ROWS": str(height),
        }
        | ({"SHOPDAY_FINGERS": "1"} if fingers else {})
    )
    return AppProcess(
        await asyncio.create_subprocess_exec(*command, stdin=PIPE, stdout=PIPE, env=environment)
    )
