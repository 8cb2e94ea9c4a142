"""The addresses at which other computers in the house can open what this one serves."""

from __future__ import annotations

import ipaddress
import socket
from contextlib import closing, suppress

ELSEWHERE = {socket.AF_INET: "192.0.2.1", socket.AF_INET6: "2001:db8::1"}
"""Addresses reserved for documentation (published: RFC 5737, RFC 3849). Nothing is sent there: the system only tells
which of our addresses it would use."""


def urls(host: str, port: int) -> list[str]:
    """The addresses for a browser. For a host that means any address: all of this computer's, or "localhost" without
    a network."""
    return [f"http://{f'[{name}]' if ':' in name else name}:{port}" for name in _names(host)]


def _names(host: str) -> list[str]:
    try:
        anywhere = ipaddress.ip_address(host).is_unspecified
    except ValueError:
        anywhere = False
    if not anywhere:
        return [host]
    families = [socket.AF_INET, socket.AF_INET6] if ":" in host else [socket.AF_INET]
    found = [address for family in families for address in _of_this_computer(family)]
    return list(dict.fromkeys(found)) or ["localhost"]


def _of_this_computer(family: socket.AddressFamily) -> list[str]:
    found = []
    with suppress(OSError), closing(socket.socket(family, socket.SOCK_DGRAM)) as probe:
        probe.connect((ELSEWHERE[family], 9))
        found.append(str(probe.getsockname()[0]))
    with suppress(OSError):
        found += [str(info[4][0]) for info in socket.getaddrinfo(socket.gethostname(), None, family)]
    return [name for name in found if _can_be_opened(name)]


def _can_be_opened(name: str) -> bool:
    address = ipaddress.ip_address(name.partition("%")[0])
    return not (address.is_loopback or address.is_link_local or address.is_unspecified)
