"""A brake on guessing a password: after repeated mistakes the wait doubles each time."""

from __future__ import annotations

import ipaddress
from collections.abc import Callable
from time import monotonic

FREE_GUESSES = 5
"""Wrong passwords in a row before the first wait: somebody with dusty hands mistypes."""

FIRST_WAIT, LONGEST_WAIT = 2.0, 600.0
"""Seconds."""

MOST_REMEMBERED = 1000
"""The most networks remembered; beyond that, the one longest without a guess is forgotten."""


class GuessBrake:
    """Counts wrong passwords by address. now: the seconds of a monotonic clock."""

    def __init__(self, now: Callable[[], float] = monotonic) -> None:
        self._now = now
        self._wrong: dict[str, tuple[int, float]] = {}

    def wait(self, address: str) -> float:
        """Seconds until this address may guess again; 0 if it may now."""
        _, until = self._wrong.get(_network(address), (0, 0.0))
        return max(0.0, until - self._now())

    def note(self, address: str, right: bool) -> None:
        """Record a guess from an address; a right one clears its mistakes."""
        network = _network(address)
        count, _ = self._wrong.pop(network, (0, 0.0))
        if right:
            return
        doublings = min(count + 1 - FREE_GUESSES, 20)
        pause = min(FIRST_WAIT * 2**doublings, LONGEST_WAIT) if doublings >= 0 else 0.0
        self._wrong[network] = count + 1, self._now() + pause
        if len(self._wrong) > MOST_REMEMBERED:
            del self._wrong[next(iter(self._wrong))]


def _network(address: str) -> str:
    """The network of an address: one computer may use any address of its IPv6 network."""
    try:
        found = ipaddress.ip_address(address.partition("%")[0])
    except ValueError:
        return address
    return str(ipaddress.ip_network((found, 64), strict=False)) if found.version == 6 else str(found)
