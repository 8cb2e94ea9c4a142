"""The socket between a page and its app: keys and sizes one way, the contents of a terminal the other way."""

from __future__ import annotations

import asyncio
import json
from collections.abc import Sequence
from contextlib import suppress

from aiohttp import WSCloseCode, WSMsgType
from aiohttp.web import Request, WebSocketResponse

from shopday.web.app_process import AppProcess, start_app

MOST_CELLS = 1000
"""The largest width or height of a page, in characters."""

LONGEST_MESSAGE = 1 << 20
"""Bytes; enough for a long text pasted in."""


class NoMessage(ValueError):
    """The page sent something that ours never sends."""


async def connect_page(
    request: Request, command: Sequence[str], open_pages: set[WebSocketResponse]
) -> WebSocketResponse:
    """Run an app for a page. Returns when the page is closed or the app has ended; neither is left without the
    other."""
    socket = WebSocketResponse(heartbeat=15, max_msg_size=LONGEST_MESSAGE)
    await socket.prepare(request)
    asked = request.query
    size = _cells(asked.get("width"), 80), _cells(asked.get("height"), 24)
    app = await start_app(command, *size, fingers=asked.get("fingers") == "1")
    showing = asyncio.create_task(_show(app, socket))
    open_pages.add(socket)
    try:
        await _listen(socket, app)
    finally:
        open_pages.discard(socket)
        await app.end()
        showing.cancel()
    return socket


async def _show(app: AppProcess, socket: WebSocketResponse) -> None:
    with suppress(ConnectionError, RuntimeError):  # the page is gone
        async for content in app.shown():
            await socket.send_bytes(content)
        await socket.close()


async def _listen(socket: WebSocketResponse, app: AppProcess) -> None:
    async for message in socket:
        if message.type is not WSMsgType.TEXT:
            continue
        try:
            await _pass_on(message.data, socket, app)
        except NoMessage:
            await socket.close(code=WSCloseCode.UNSUPPORTED_DATA)


async def _pass_on(text: str, socket: WebSocketResponse, app: AppProcess) -> None:
    """Pass on a message of the page: ["stdin", TEXT], ["resize", {width, height}], ["ping", TEXT], ["focus"] or
    ["blur"]."""
    match _read(text):
        case ["stdin", str(typed)]:
            await app.type(typed)
        case ["resize", {"width": width, "height": height}]:
            await app.tell(type="resize", width=_cells(width, 80), height=_cells(height, 24))
        case ["ping", str(sent)]:
            await socket.send_json(["pong", sent])
        case ["focus" | "blur" as what]:
            await app.tell(type=what)
        case _:
            raise NoMessage


def _read(text: str) -> object:
    try:
        return json.loads(text)
    except (ValueError, RecursionError):
        raise NoMessage from None


def _cells(said: object, otherwise: int) -> int:
    """A width or height in characters, as a browser gives it."""
    try:
        return min(max(int(str(said)[:9]), 1), MOST_CELLS)
    except ValueError:
        return otherwise
