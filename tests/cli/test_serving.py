"""The app in a browser: on this computer alone unless told otherwise, and then only with the password."""

from __future__ import annotations

import base64
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from pathlib import Path

import pytest
from aiohttp.test_utils import TestClient, TestServer
from cli_shop import Shop

from shopday.cli.web_server import is_loopback, knows, make_server

LOOPBACK = {
    "localhost": True,
    "127.0.0.1": True,
    "::1": True,
    "0.0.0.0": False,
    "192.168.1.4": False,
    "pc": False,
}


@pytest.mark.parametrize(("host", "loopback"), LOOPBACK.items())
def test_which_addresses_are_this_computer(host: str, loopback: bool) -> None:
    assert is_loopback(host) is loopback


@asynccontextmanager
async def client(folder: Path, password: str | None) -> AsyncIterator[TestClient]:
    server = make_server(folder, "127.0.0.1", 0, password)
    async with TestClient(TestServer(await server._make_app())) as found:
        yield found


def basic(user: str, password: str) -> dict[str, str]:
    return {"Authorization": "Basic " + base64.b64encode(f"{user}:{password}".encode()).decode()}


async def test_on_this_computer_the_page_is_there_and_points_to_itself(tmp_path: Path) -> None:
    async with client(tmp_path, None) as web:
        answer = await web.get("/")
        assert answer.status == 200
        assert f"ws://127.0.0.1:{web.port}/ws" in await answer.text()


@pytest.mark.parametrize("path", ["/", "/ws", "/static/js/textual.js"])
async def test_elsewhere_nothing_is_there_without_the_password(tmp_path: Path, path: str) -> None:
    async with client(tmp_path, "oak leaf") as web:
        for headers in (
            {},
            basic("shop", "elm leaf"),
            basic("root", "oak leaf"),
            {"Authorization": "Basic é"},
        ):
            answer = await web.get(path, headers=headers)
            assert answer.status == 401
            assert answer.headers["WWW-Authenticate"].startswith("Basic ")
        assert (await web.get("/", headers=basic("shop", "oak leaf"))).status == 200


@pytest.mark.parametrize(
    "headers", [{"Origin": "http://evil.example"}, {"Origin": "null"}, {"Host": "evil.example:80"}]
)
async def test_no_other_page_can_reach_the_app(tmp_path: Path, headers: dict[str, str]) -> None:
    """A page from elsewhere may open a socket to this computer; a name may be made to point to it."""
    async with client(tmp_path, None) as web:
        assert (await web.get("/ws", headers=headers)).status == 403


def test_the_password_is_compared_whole() -> None:
    assert knows(basic("shop", "ö x")["Authorization"], "ö x")
    assert not knows("", "x")


def test_a_broken_folder_is_told_before_anything_is_served(shop: Shop) -> None:
    (shop.folder / "shop.toml").write_text("name = 3")
    status, out = shop.run("serve")
    assert (status, out) == (2, "")
