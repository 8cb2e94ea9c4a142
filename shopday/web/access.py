"""Who may see the app in a browser: pages on this computer, and elsewhere those who know the password."""

from __future__ import annotations

import base64
import hmac
import ipaddress
import os
import re
import secrets
from urllib.parse import urlsplit

from shopday.shop.faults import ShopdayError

USER = "shop"
PASSWORD = "SHOPDAY_PASSWORD"
"""The variable that may hold the password; otherwise one is made and printed."""

SHORTEST_PASSWORD = 8
"""The least characters of a password; a shorter one could be guessed in spite of the brake."""

HOST = re.compile(r"([A-Za-z0-9._-]+|\[[0-9A-Fa-f:.]+\])(:[0-9]+)?")
"""What a browser may name as a host; none of it has a meaning in a header."""


def password_for(host: str) -> str | None:
    """The password required at this address; None if only this computer can connect. Raises ShopdayError."""
    if is_loopback(host):
        return None
    said = os.environ.get(PASSWORD)
    if said is not None and len(said) < SHORTEST_PASSWORD:
        raise ShopdayError(
            f"{PASSWORD} has {len(said)} characters",
            f"give it {SHORTEST_PASSWORD} or more, or unset it and one is made",
        )
    return said or secrets.token_urlsafe(9)


def is_loopback(host: str) -> bool:
    if host == "localhost":
        return True
    try:
        return ipaddress.ip_address(host).is_loopback
    except ValueError:
        return False


def is_own_page(host: str, origin: str | None, loopback: bool) -> bool:
    """True if the request comes from our own page: not from another site, nor by a name made to point here.

    host, origin: as the browser gives them in its headers.
    """
    if not HOST.fullmatch(host):
        return False
    if loopback and not is_loopback(urlsplit(f"//{host}").hostname or ""):
        return False
    return origin is None or origin.partition("://")[2] == host


def knows(header: str, password: str) -> bool:
    """True if this is the right Basic authorization. Anything malformed is wrong, not an error."""
    expected = base64.b64encode(f"{USER}:{password}".encode())
    scheme, _, said = header.partition(" ")
    said_bytes = said.strip().encode("utf-8", "surrogateescape")
    return hmac.compare_digest(said_bytes, expected) and scheme.lower() == "basic"
