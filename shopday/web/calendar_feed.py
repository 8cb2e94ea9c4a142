"""The plan as a calendar to subscribe to, at a secret address."""

from __future__ import annotations

import asyncio
import hmac
from asyncio.subprocess import DEVNULL, PIPE
from collections.abc import Sequence

FRESH = 60.0
"""Seconds for which a calendar once made is served again."""
LONGEST = 120.0
"""The most seconds that making one may take."""


class CalendarFeed:
    """The subscribed calendar. command: prints the calendar; key: the secret in its address."""

    def __init__(self, command: Sequence[str], key: str) -> None:
        self._command, self.path = command, f"/calendar/{key}.ics"
        self._made: tuple[float, bytes] | None = None
        self._making = asyncio.Lock()

    def is_asked(self, path: str) -> bool:
        """True if this is the calendar's address. The comparison takes the same time whatever the path."""
        return hmac.compare_digest(path.encode("utf-8", "surrogateescape"), self.path.encode())

    async def calendar(self) -> bytes | None:
        """The file; None if the shop cannot be read now."""
        async with self._making:
            now = asyncio.get_running_loop().time()
            if self._made is None or now - self._made[0] > FRESH:
                text = await self._make()
                self._made = (now, text) if text else None
            return self._made[1] if self._made else None

    async def _make(self) -> bytes:
        process = await asyncio.create_subprocess_exec(
            *self._command, stdin=DEVNULL, stdout=PIPE, stderr=DEVNULL
        )
        try:
            async with asyncio.timeout(LONGEST):
                text, _ = await process.communicate()
        except TimeoutError:
            process.kill()
            return b""
        return text if text.startswith(b"BEGIN:VCALENDAR") else b""
