"""The app in a browser: on this computer alone unless told otherwise, and then only with the password."""

from __future__ import annotations

import asyncio
import base64
import os
import re
import signal
import socket
import subprocess
import sys
from collections.abc import AsyncIterator, Awaitable, Callable, Iterator
from contextlib import asynccontextmanager, contextmanager
from pathlib import Path

import pytest
from aiohttp import ClientSession, WSMsgType, web
from aiohttp.test_utils import TestClient, TestServer
from cli_shop import NOW, Shop, shop_at
from processes import LONGEST, children, is_at_work, until

from shopday.app.widgets.header import PLACES
from shopday.web import web_server
from shopday.web.access import is_loopback
from shopday.web.calendar_feed import CalendarFeed
from shopday.web.guess_brake import FREE_GUESSES, LONGEST_WAIT, MOST_REMEMBERED, GuessBrake
from shopday.web.web_server import WebServer

LOOPBACK = {
    "localhost": True,
    "127.0.0.1": True,
    "::1": True,
    "0.0.0.0": False,
    "192.168.1.4": False,
    "pc": False,
}


@pytest.mark.parametrize(("host", "loopback"), LOOPBACK.items())
def test_loopback_addresses_are_recognized(host: str, loopback: bool) -> None:
    assert is_loopback(host) is loopback


KEY = "beech"


@asynccontextmanager
async def client(password: str | None) -> AsyncIterator[TestClient]:
    """A server on loopback, on a port that is free; its app shows nothing and ends when it is told to."""
    feed = CalendarFeed(["printf", "BEGIN:VCALENDAR"], KEY)
    async with TestClient(TestServer(WebServer(["head", "-c", "1"], password, feed).application())) as found:
        yield found


def basic(user: str, password: str) -> dict[str, str]:
    return {"Authorization": "Basic " + base64.b64encode(f"{user}:{password}".encode()).decode()}


async def test_the_page_is_served_on_this_computer() -> None:
    async with client(None) as web:
        page = await web.get("/")
        assert page.status == 200
        for path in re.findall(r'(?:src|href)="(/[^"]+)"', await page.text()):
            assert (await web.get(path)).status == 200


async def test_a_phone_can_show_the_page_and_keep_it_on_its_home_screen() -> None:
    async with client(None) as web:
        page = await (await web.get("/")).text()
        assert '<meta name="viewport" content="width=device-width, initial-scale=1' in page
        manifest = await (await web.get("/page/manifest.json")).json()
        assert manifest["display"] == "standalone"
        for icon in manifest["icons"]:
            found = await web.get(icon["src"])
            assert (found.status, found.content_type) == (200, icon["type"])
        places = re.findall(r'data-place="(\d)"', page)
        assert places == [
            str(number) for number in range(1, 1 + len(PLACES))
        ]  # every place has a button for fingers


async def test_the_page_loads_nothing_from_another_host() -> None:
    """Neither by what we wrote nor, whatever the terminal's own code says, by a browser that keeps the policy."""
    async with client(None) as web:
        page = await web.get("/")
        for path in ("/", "/page/page.css", "/page/page.js"):
            assert "//" not in re.sub(r"// .*", "", await (await web.get(path)).text())
        for answer in (page, await web.get("/ws", headers={"Origin": "null"})):
            policy = answer.headers["Content-Security-Policy"]
            assert "default-src 'none'" in policy
            assert "frame-ancestors 'none'" in policy
            assert set(re.findall(r"\w+://[^ ;]*", policy)) == {
                f"ws://127.0.0.1:{web.port}",
                f"wss://127.0.0.1:{web.port}",
            }
            assert answer.headers["X-Frame-Options"] == "DENY"


@pytest.mark.parametrize("path", ["/", "/ws", "/static/js/textual.js", "/page/page.js", "/nowhere"])
async def test_other_computers_get_nothing_without_the_password(path: str) -> None:
    async with client("oak leaf") as web:
        for headers in ({}, basic("shop", "elm leaf"), basic("root", "oak leaf"), {"Cookie": "shopday=x"}):
            answer = await web.get(path, headers=headers)
            assert answer.status == 401
            assert answer.headers["WWW-Authenticate"].startswith("Basic ")
        assert (await web.get("/", headers=basic("shop", "oak leaf"))).status == 200
        assert (await web.get("/page/page.js")).status == 200  # the page's cookie is as good as the password


@pytest.mark.parametrize(
    "header",
    [
        b"Basic \xff\xfe",
        b"Basic",
        b"",
        b"Basic \xc3\xa9",
        b"Bearer x",
        b"Basic =====",
        b"Basic " + b"x" * 7000,
    ],
)
async def test_a_malformed_header_is_a_wrong_password(header: bytes) -> None:
    async with client("oak leaf") as web:
        reader, writer = await asyncio.open_connection("127.0.0.1", web.port)
        writer.write(b"GET / HTTP/1.1\r\nHost: 127.0.0.1\r\nAuthorization: " + header + b"\r\n\r\n")
        assert b" 401 " in await reader.readline()
        writer.close()


@pytest.mark.parametrize(
    "headers",
    [
        {"Origin": "http://evil.example"},
        {"Origin": "null"},
        {"Host": "evil.example:80"},
        {"Host": "127.0.0.1; script-src *"},
    ],
)
async def test_no_other_sites_page_can_reach_the_app(headers: dict[str, str]) -> None:
    """A page from elsewhere may open a socket to this computer; a name may be made to point to it."""
    async with client(None) as web:
        assert (await web.get("/ws", headers=headers)).status == 403


def test_repeated_guesses_wait_ever_longer() -> None:
    time = 0.0
    brake = GuessBrake(lambda: time)
    waits = []
    for _ in range(40):
        brake.note("192.168.1.7", right=False)
        waits.append(brake.wait("192.168.1.7"))
        time += waits[-1]
    assert waits[: FREE_GUESSES - 1] == [0] * (FREE_GUESSES - 1)
    assert waits[FREE_GUESSES - 1 : FREE_GUESSES + 3] == [2, 4, 8, 16]
    assert waits[-1] == LONGEST_WAIT
    brake.note("192.168.1.7", right=True)
    brake.note("192.168.1.7", right=False)
    assert brake.wait("192.168.1.7") == 0


def test_the_brake_counts_by_network() -> None:
    brake = GuessBrake(lambda: 0)
    for number in range(FREE_GUESSES):
        brake.note(f"2001:db8::{number}", right=False)
    assert brake.wait("2001:db8::beef") > 0
    assert brake.wait("2001:db8:1::1") == 0
    for number in range(MOST_REMEMBERED):
        brake.note(f"10.0.{number // 256}.{number % 256}", right=False)
    assert brake.wait("2001:db8::1") == 0  # what is remembered has an end


async def test_the_calendars_secret_address_needs_no_password() -> None:
    async with client("oak leaf") as web:
        found = await web.get(f"/calendar/{KEY}.ics")
        assert (found.status, found.content_type, await found.text()) == (
            200,
            "text/calendar",
            "BEGIN:VCALENDAR",
        )
        for path in ("/calendar/birch.ics", "/calendar/", f"/calendar/{KEY}.ics/../../"):
            assert (await web.get(path)).status == 401
        assert (
            await web.get(f"/calendar/{KEY}.ics", headers={"Origin": "http://evil.example"})
        ).status == 403


@pytest.mark.slow
async def test_the_served_calendar_is_the_plan(tmp_path: Path) -> None:
    folder = shop_at(tmp_path / "shop")
    with served(folder) as (process, _, _lines):
        assert process.stdout is not None
        address = process.stdout.readline().split()[-1]
        async with ClientSession() as browser, browser.get(address) as found:
            assert "Glue up the seat" in await found.text()
    with served(folder) as (process, _, _lines):
        assert process.stdout is not None
        assert process.stdout.readline().split()[-1].rpartition("/")[2] == address.rpartition("/")[2]


async def test_a_guesser_waits_even_with_the_right_password() -> None:
    async with client("oak leaf") as web:
        said = [
            (await web.get("/", headers=basic("shop", word))).status
            for word in [*map(str, range(FREE_GUESSES)), "oak leaf"]
        ]
        assert said == [401] * FREE_GUESSES + [429]
        assert (await web.get("/", headers=basic("shop", "x"))).headers["Retry-After"].isdigit()


def test_a_short_password_is_refused(shop: Shop, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("SHOPDAY_PASSWORD", "1234")
    assert shop.run("serve", "--host", "0.0.0.0", "--port", "0") == (2, "")
    assert "8 or more" in shop.err


def test_a_faulty_folder_is_reported_before_anything_is_served(shop: Shop) -> None:
    (shop.folder / "shop.toml").write_text("name = 3")
    status, out = shop.run("serve")
    assert (status, out) == (2, "")


@pytest.mark.parametrize(
    ("host", "hint"), [("127.0.0.1", "`--port`"), ("203.0.113.9", "no address of this computer")]
)
def test_an_address_that_cannot_be_served_is_refused(shop: Shop, host: str, hint: str) -> None:
    """The port is taken, or the address is somebody else's: no address and no password is printed."""
    with socket.create_server(("127.0.0.1", 0)) as taken:
        port = taken.getsockname()[1]
        assert shop.run("serve", "--host", host, "--port", str(port)) == (2, "")
    assert hint in shop.err
    assert shop.err.count("\n") == 1


def test_nothing_is_served_if_a_stranger_gets_in(shop: Shop, monkeypatch: pytest.MonkeyPatch) -> None:
    """As if the guard were never called."""

    @web.middleware
    async def open_door(
        _: WebServer, request: web.Request, handler: Callable[..., Awaitable[object]]
    ) -> object:
        return await handler(request)

    monkeypatch.setattr(web_server.WebServer, "_guard", open_door)
    assert shop.run("serve", "--host", "0.0.0.0", "--port", "0") == (2, "")
    assert "shown to anybody" in shop.err


@contextmanager
def served(folder: Path, *more: str) -> Iterator[tuple[subprocess.Popen[str], str, list[str]]]:
    """The command at work on a port that is free, the first address it told, and all it told."""
    command = [sys.executable, "-m", "shopday", "--shop", str(folder), "--now", NOW, "serve", "--port", "0"]
    with subprocess.Popen([*command, *more], stdout=subprocess.PIPE, text=True) as process:
        try:
            assert process.stdout is not None
            lines = [process.stdout.readline() for _ in range(3 if more else 1)]
            yield process, lines[0].split()[3].rstrip(";"), lines
        finally:
            process.kill()


def below(parent: int) -> list[int]:
    """The processes under a process, at any depth."""
    return [pid for child in children(parent) for pid in (child, *below(child))]


@pytest.mark.slow
@pytest.mark.parametrize("how", [signal.SIGKILL, signal.SIGTERM])
async def test_no_process_is_left_when_the_server_ends_with_an_open_page(tmp_path: Path, how: int) -> None:
    with served(shop_at(tmp_path / "shop")) as (process, url, _):
        async with ClientSession() as browser, browser.ws_connect(f"{url}/ws?width=90&height=30") as page:
            shown = b""
            while b"Milking stool" not in shown:
                message = await page.receive(LONGEST)
                assert message.type is WSMsgType.BINARY
                shown += message.data
            family = below(process.pid)
            assert len(family) >= 2  # the app and its planner
            os.kill(process.pid, how)
            await asyncio.to_thread(process.wait, LONGEST)
        assert process.returncode == (-how if how == signal.SIGKILL else 0)
        until(lambda: not any(map(is_at_work, family)))


@pytest.mark.slow
async def test_keys_reach_the_app(tmp_path: Path) -> None:
    with served(shop_at(tmp_path / "shop")) as (_, url, _lines):
        async with ClientSession() as browser, browser.ws_connect(f"{url}/ws?width=x&height=-3") as page:
            await page.send_json(["resize", {"width": 100, "height": 30}])
            await page.send_json(["stdin", "q"])
            while (await page.receive(LONGEST)).type is WSMsgType.BINARY:
                pass
            assert page.close_code == 1000


@pytest.mark.parametrize("said", ["[]", "{", '["resize", 3]', '["stdin", 4]', '["away"]', "[" * 100_000])
async def test_a_malformed_message_closes_the_page_and_ends_its_app(said: str) -> None:
    async with client(None) as web, web.ws_connect("/ws") as page:
        await page.send_str(said)
        assert (await page.receive(LONGEST)).type is WSMsgType.CLOSE
        assert page.close_code == 1003
    assert not [pid for pid in children() if is_at_work(pid)]


@pytest.mark.slow
async def test_serving_others_prints_the_addresses_and_the_password(tmp_path: Path) -> None:
    with served(shop_at(tmp_path / "shop"), "--host", "0.0.0.0") as (_, url, lines):
        assert "0.0.0.0" not in url
        port = url.rpartition(":")[2]
        assert port != "0"
        password = lines[1].split()[-1]
        async with ClientSession() as browser:
            assert (await browser.get(f"http://127.0.0.1:{port}/")).status == 401
            found = await browser.get(f"http://127.0.0.1:{port}/", headers=basic("shop", password))
            assert found.status == 200
