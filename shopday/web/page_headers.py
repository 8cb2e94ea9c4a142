"""The headers of each answer: load nothing from elsewhere, and do not show this in another page."""

from __future__ import annotations

from shopday.web.access import HOST

FIXED = {
    "X-Frame-Options": "DENY",
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "no-referrer",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Cache-Control": "no-cache",
}
POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self' 'unsafe-inline'; font-src 'self'; img-src 'self' data:; "
    "manifest-src 'self'; connect-src 'self' {sockets}; frame-ancestors 'none'; base-uri 'none'; form-action 'none'"
)
"""The terminal in the page makes styles of its own, so inline styles are allowed."""


def headers_for(host: str) -> dict[str, str]:
    """The headers. host: as the browser gives it; not every browser takes 'self' for its sockets too (from memory)."""
    sockets = f"ws://{host} wss://{host}" if HOST.fullmatch(host) else ""
    return FIXED | {"Content-Security-Policy": POLICY.format(sockets=sockets)}
