"""The server: pages for those who are let in, and nothing for anybody else.

It is our own from the first byte, so that no change in another package can remove the guard. Before it serves, it
makes the requests of a stranger, and refuses to serve unless it turns them away.
"""

from __future__ import annotations

import asyncio
import hmac
import math
import secrets
import signal
from collections.abc import Awaitable, Callable, Sequence
from importlib.util import find_spec
from pathlib import Path

from aiohttp import ClientSession, web

from shopday.shop.faults import ShopdayError
from shopday.web.access import is_own_page, knows
from shopday.web.app_process import SECONDS_TO_END
from shopday.web.calendar_feed import CalendarFeed
from shopday.web.guess_brake import GuessBrake
from shopday.web.listening import no_listening
from shopday.web.page_headers import headers_for
from shopday.web.page_socket import connect_page

PAGE = Path(__file__).parent / "page"
PATHS = ("/", "/ws", "/page/page.js", "/static/js/textual.js", "/nowhere")
COOKIE = "shopday"
"""Identifies who gave the password: some browsers send no password with a socket (from memory)."""

Handler = Callable[[web.Request], Awaitable[web.StreamResponse]]


class WebServer:
    """The server.

    command:  starts the app.
    password: None if only this computer can connect.
    feed:     the calendar, for those who know its address but no password.
    """

    def __init__(self, command: Sequence[str], password: str | None, feed: CalendarFeed) -> None:
        self._command, self._password, self._feed = command, password, feed
        self._token = secrets.token_urlsafe(24)
        self._brake = GuessBrake()
        self._open_pages: set[web.WebSocketResponse] = set()

    async def run(self, host: str, port: int, tell: Callable[[int], None]) -> None:
        """Serve until SIGINT or SIGTERM. tell: receives the port once it is bound. Raises ShopdayError."""
        stop = asyncio.Event()
        for name in (signal.SIGINT, signal.SIGTERM):
            asyncio.get_running_loop().add_signal_handler(name, stop.set)
        runner = web.AppRunner(self.application(), access_log=None, shutdown_timeout=SECONDS_TO_END + 1)
        await runner.setup()
        try:
            await self._try_the_door(runner)
            site = web.TCPSite(runner, host, port)
            try:
                await site.start()
            except OSError as error:
                raise no_listening(error, host, port) from None
            tell(runner.addresses[0][1])
            await stop.wait()
        finally:
            await runner.cleanup()

    def application(self) -> web.Application:
        app = web.Application(middlewares=[self._guard])
        app.on_response_prepare.append(self._add_headers)
        app.on_shutdown.append(self._close_pages)
        app.add_routes(
            [
                web.get("/", self._index),
                web.get("/ws", self._socket),
                web.get(self._feed.path, self._calendar),
                web.static("/page", PAGE),
                web.static("/static", terminal_files()),
            ]
        )
        return app

    async def _try_the_door(self, runner: web.AppRunner) -> None:
        """Make requests as a stranger, on an unknown port. Raises ShopdayError unless all are turned away."""
        site = web.TCPSite(runner, "127.0.0.1", 0)
        await site.start()
        try:
            port = runner.addresses[0][1]
            async with ClientSession(headers={"Host": "stranger.invalid"}) as stranger:
                for path in PATHS:
                    async with stranger.get(f"http://127.0.0.1:{port}{path}") as answer:
                        if answer.status not in (401, 403):
                            raise ShopdayError(
                                f"{path} would be shown to anybody (status {answer.status}), so nothing is served",
                                "install the versions of aiohttp that shopday asks for",
                            )
        finally:
            await site.stop()

    @web.middleware
    async def _guard(self, request: web.Request, handler: Handler) -> web.StreamResponse:
        """Let in only pages of this address, and only those who know the password."""
        if not is_own_page(request.host, request.headers.get("Origin"), self._password is None):
            raise web.HTTPForbidden(text="This address is not served here.")
        is_open = self._password is None or self._is_known(request) or self._feed.is_asked(request.path)
        if self._password is not None and not is_open:
            self._check_password(request, self._password)
        return await handler(request)

    def _is_known(self, request: web.Request) -> bool:
        said = request.cookies.get(COOKIE, "").encode("utf-8", "surrogateescape")
        return hmac.compare_digest(said, self._token.encode())

    def _check_password(self, request: web.Request, password: str) -> None:
        """Raise the HTTP answer for a wrong password, or for guesses that come too fast."""
        address, header = request.remote or "", request.headers.get("Authorization")
        if seconds := self._brake.wait(address):
            raise web.HTTPTooManyRequests(headers={"Retry-After": str(math.ceil(seconds))})
        right = header is not None and knows(header, password)
        if header is not None:
            self._brake.note(address, right)
        if not right:
            raise web.HTTPUnauthorized(headers={"WWW-Authenticate": 'Basic realm="shopday", charset="UTF-8"'})

    async def _add_headers(self, request: web.Request, response: web.StreamResponse) -> None:
        response.headers.update(headers_for(request.host))

    async def _index(self, request: web.Request) -> web.StreamResponse:
        page = web.Response(text=(PAGE / "page.html").read_text("utf-8"), content_type="text/html")
        if self._password is not None:
            page.set_cookie(COOKIE, self._token, httponly=True, samesite="Strict")
        return page

    async def _calendar(self, _: web.Request) -> web.StreamResponse:
        found = await self._feed.calendar()
        if found is None:
            raise web.HTTPServiceUnavailable(text="The shop cannot be read: `shopday check` says why.")
        return web.Response(body=found, content_type="text/calendar", charset="utf-8")

    async def _socket(self, request: web.Request) -> web.StreamResponse:
        return await connect_page(request, self._command, self._open_pages)

    async def _close_pages(self, _: web.Application) -> None:
        await asyncio.gather(*(page.close() for page in set(self._open_pages)))


def terminal_files() -> Path:
    """The folder with the page's terminal, which textual-serve includes. Raises ImportError."""
    found = find_spec("textual_serve")
    if found is None or not found.submodule_search_locations:
        raise ImportError("textual_serve")
    return Path(found.submodule_search_locations[0]) / "static"
