"""A brake on guessing a password: who is often wrong has to wait, each time twice as long."""

from __future__ import annotations

import ipaddress
from collections.abc import Callable
from time import monotonic

FREE = 5
"""Wrong passwords in a row before the first wait: somebody with dusty hands mistypes."""

FIRST_WAIT, LONGEST_WAIT = 2.0, 600.0
"""Seconds."""

MOST_REMEMBERED = 1000
"""Networks; of more, the one longest without a guess is forgotten."""


class GuessBrake:
    """Counts wrong passwords by address; `now` gives seconds of a clock that only goes on."""

    def __init__(self, now: Callable[[], float] = monotonic) -> None:
        self._now = now
        self._wrong: dict[str, tuple[int, float]] = {}

    def wait(self, address: str) -> float:
        """Seconds until this address may guess again; 0 when it may now."""
        _, until = self._wrong.get(_network(address), (0, 0.0))
        return max(0.0, until - self._now())

    def note(self, address: str, right: bool) -> None:
        """A password came from there. A right one clears what was."""
        network = _network(address)
        count, _ = self._wrong.pop(network, (0, 0.0))
        if right:
            return
        doublings = min(count + 1 - FREE, 20)
        pause = min(FIRST_WAIT * 2**doublings, LONGEST_WAIT) if doublings >= 0 else 0.0
        self._wrong[network] = count + 1, self._now() + pause
        if len(self._wrong) > MOST_REMEMBERED:
            del self._wrong[next(iter(self._wrong))]


def _network(address: str) -> str:
    """One computer may have any address of its IPv6 network."""
    try:
        found = ipaddress.ip_address(address.partition("%")[0])
    except ValueError:
        return address
    return str(ipaddress.ip_network((found, 64), strict=False)) if found.version == 6 else str(found)
