"""Why nothing can listen at an address, in words."""

from __future__ import annotations

import errno
import socket

from shopday.shop.faults import ShopdayError


def no_listening(error: OSError, host: str, port: int) -> ShopdayError:
    """The error as a ShopdayError, which says what would be right."""
    if isinstance(error, socket.gaierror) or error.errno == errno.EADDRNOTAVAIL:
        return ShopdayError(
            f"{host!r} is no address of this computer", "`--host 0.0.0.0` listens on all it has"
        )
    if error.errno == errno.EADDRINUSE:
        return ShopdayError(
            f"port {port} of {host} is taken by another program", "name another with `--port`"
        )
    if error.errno == errno.EACCES:
        return ShopdayError(f"port {port} is not for everybody", "name one above 1023 with `--port`")
    return ShopdayError(f"nothing can listen at {host}, port {port}: {error.strerror or error}")
