"""The app in a browser, for whoever may: on this computer alone unless told otherwise, then with a password."""

from __future__ import annotations

import base64
import hmac
import ipaddress
import os
import secrets
import shlex
import sys
from collections.abc import Awaitable, Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any
from urllib.parse import urlsplit

from shopday.shop.faults import ShopdayError

if TYPE_CHECKING:
    from aiohttp.web import Request, StreamResponse

Handler = Callable[["Request"], Awaitable["StreamResponse"]]

USER = "shop"
PASSWORD = "SHOPDAY_PASSWORD"
"""The variable that may hold the password; otherwise one is made and printed."""


def serve_app(folder: Path, host: str, port: int) -> int:
    """Serve until stopped. Raises ShopdayError where the extra packages are not installed."""
    password = None if is_loopback(host) else os.environ.get(PASSWORD) or secrets.token_urlsafe(9)
    server = make_server(folder, host, port, password)
    where = f"http://{f'[{host}]' if ':' in host else host}:{port}"
    print(f"shopday is at {where}; Ctrl+C stops it.")
    if password is not None:
        told = "the one in SHOPDAY_PASSWORD" if os.environ.get(PASSWORD) else password
        print(f"User: {USER}   password: {told}")
        print("Anybody on this network can read what is sent; use it at home or in the shop only.")
    sys.stdout.flush()
    server.serve()
    return 0


def make_server(folder: Path, host: str, port: int, password: str | None) -> Any:
    try:
        from aiohttp import web
        from textual_serve.server import Server
    except ImportError:
        raise ShopdayError('this needs one more package: pip install "shopday[serve]"') from None

    class Guarded(Server):
        async def _make_app(self) -> web.Application:
            app = await super()._make_app()
            app.middlewares.append(web.middleware(guard))
            return app

        async def on_startup(self, app: web.Application) -> None:
            """Nothing to print: the command has said where it is."""

    async def guard(request: Request, handler: Handler) -> StreamResponse:
        """Lets in only pages of this very address, and only who knows the password."""
        if not _from_here(request, password is None):
            raise web.HTTPForbidden(text="This address is not served here.")
        if password is not None and not knows(request.headers.get("Authorization", ""), password):
            raise web.HTTPUnauthorized(headers={"WWW-Authenticate": 'Basic realm="shopday", charset="UTF-8"'})
        server.public_url = f"{request.scheme}://{request.host}"
        return await handler(request)

    command = shlex.join([sys.executable, "-m", "shopday", "--shop", str(folder.resolve())])
    server = Guarded(command, host=host, port=port, title="shopday")
    return server


def _from_here(request: Request, loopback: bool) -> bool:
    """No other site's page may talk to the app behind its reader's back, nor a name made to point here."""
    if loopback and not is_loopback(urlsplit(f"//{request.host}").hostname or ""):
        return False
    origin = request.headers.get("Origin")
    return origin is None or urlsplit(origin).netloc == request.host


def is_loopback(host: str) -> bool:
    if host == "localhost":
        return True
    try:
        return ipaddress.ip_address(host).is_loopback
    except ValueError:
        return False


def knows(header: str, password: str) -> bool:
    """Is this the right Basic authorization?"""
    expected = base64.b64encode(f"{USER}:{password}".encode()).decode()
    return hmac.compare_digest(header.encode(), f"Basic {expected}".encode())
