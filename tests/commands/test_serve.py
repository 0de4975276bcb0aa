"""The full screen in a browser: for this computer alone, and for no page from elsewhere."""

from __future__ import annotations

import argparse
import asyncio
import gc
import shlex
import socket
import sys
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pytest
from small_season import run

from calendar_tui.commands.opening import WEB_DRIVER
from calendar_tui.commands.serving import program

HERE = {"Host": "127.0.0.1:8000"}


def own_server(monkeypatch: pytest.MonkeyPatch) -> tuple[Any, list[Any]]:
    """The module of the server, and the servers that would serve from now on; skips where its library is not installed."""
    pytest.importorskip("textual_serve")
    from calendar_tui.screens.browser import server

    served: list[Any] = []

    def serve(own: Any) -> None:
        served.append(own)

    monkeypatch.setattr(server.OwnServer, "serve", serve)
    return server, served


def test_it_is_open_to_this_computer_alone_and_warns(season: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    _, served = own_server(monkeypatch)
    ran = run("serve", season, "--port", "8765")
    assert ran.status == 0
    assert f"http://127.0.0.1:8765 shows {season}" in ran.out
    assert "Anyone who reaches this port can change the season" in ran.out
    assert "Never forward it or open it to a network" in ran.out
    (made,) = served
    assert (made.host, made.port, made.title) == ("127.0.0.1", 8765, season.name)


def test_it_runs_the_program_that_it_is_on_the_season_that_is_named() -> None:
    path = Path("/farm/two rivers; rm.toml")
    words = shlex.split(program(argparse.Namespace(today="2026-12-08"), path))
    assert words == [sys.executable, "-m", "calendar_tui", str(path), "--today", "2026-12-08"]
    assert shlex.split(program(argparse.Namespace(today=None), path))[-1] == str(path)


@pytest.mark.parametrize("port", ["0", "80", "70000", "eight", "8000.5", "-1", "٨٠٠٠"])
def test_what_is_no_port_is_refused(season: Path, port: str, monkeypatch: pytest.MonkeyPatch) -> None:
    own_server(monkeypatch)
    ran = run("serve", season, f"--port={port}")
    assert ran.status == 2
    assert f'--port "{port}" is no number from 1024 to 65535' in ran.err


def test_a_port_that_is_taken_is_named(season: Path) -> None:
    pytest.importorskip("textual_serve")
    with socket.create_server(("127.0.0.1", 0)) as taken:
        port = taken.getsockname()[1]
        ran = run("serve", season, f"--port={port}")
    assert ran.status == 2
    assert f"port {port} cannot be opened" in ran.err
    assert "give another with --port" in ran.err


def test_a_season_that_cannot_be_read_is_told_before_it_serves(
    season: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    _, served = own_server(monkeypatch)
    ran = run("serve", season.with_name("nowhere.toml"))
    assert (ran.status, ran.out) == (2, "")
    assert "nowhere.toml" in ran.err
    season.write_text(
        season.read_text(encoding="utf-8").replace("latitude", "lattitude", 1), encoding="utf-8"
    )
    ran = run("serve", season)
    assert (ran.status, ran.out) == (2, "")
    assert "latitude" in ran.err
    assert served == []


def test_without_its_library_it_says_how_to_install_it(season: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("aiohttp", "textual_serve", "textual_serve.server", "calendar_tui.screens.browser.server"):
        monkeypatch.setitem(sys.modules, name, None)  # type: ignore[arg-type]
    ran = run("serve", season)
    assert ran.status == 2
    assert "which is not installed; get it with: pip install -e '.[browser]'" in ran.err


@pytest.mark.parametrize(
    ("headers", "status"),
    [
        (HERE, 200),
        ({"Host": "localhost:8000"}, 200),
        ({**HERE, "Origin": "http://127.0.0.1:8000"}, 200),
        ({"Host": "localhost:8000", "Origin": "http://localhost:8000"}, 200),
        ({**HERE, "Origin": "http://example.org"}, 403),
        ({**HERE, "Origin": "null"}, 403),
        ({**HERE, "Origin": "http://127.0.0.1:9000"}, 403),
        ({"Host": "example.org"}, 403),
        ({"Host": "example.org:8000"}, 403),
        ({"Host": "127.0.0.1:9000"}, 403),
    ],
)
def test_a_page_from_elsewhere_is_refused(
    headers: Mapping[str, str], status: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    server, _ = own_server(monkeypatch)
    from aiohttp import WSServerHandshakeError
    from aiohttp.test_utils import TestClient, TestServer

    async def ask() -> None:
        app = await server.OwnServer("true", 8000, "two.toml")._make_app()
        async with TestClient(TestServer(app)) as client:
            async with client.get("/", headers=headers) as answer:
                assert answer.status == status
                assert ("ws://127.0.0.1:8000/ws" in await answer.text()) == (status == 200)
            if status == 200:
                async with client.ws_connect("/ws", headers=headers):
                    pass
            else:
                with pytest.raises(WSServerHandshakeError, match=str(status)):
                    await client.ws_connect("/ws", headers=headers)
        gc.collect()  # what its library leaves of a process goes while the loop still runs

    asyncio.run(ask())


def test_its_page_fetches_nothing_from_elsewhere(monkeypatch: pytest.MonkeyPatch) -> None:
    server, _ = own_server(monkeypatch)
    page = (server.PAGE / "app_index.html").read_text(encoding="utf-8")
    assert "terminal" in page
    assert "http:" not in page
    assert "https:" not in page


def test_what_draws_for_a_browser_needs_no_terminal(season: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    from calendar_tui.commands import opening
    from calendar_tui.screens import start

    opened: list[Path] = []
    monkeypatch.setattr(start, "run", lambda season, *_, **__: opened.append(season.path) or 0)
    assert run(season).status == 2
    monkeypatch.setenv("TEXTUAL_DRIVER", WEB_DRIVER)
    assert opening.WEB_DRIVER.startswith("textual.drivers.web_driver")
    assert run(season).status == 0
    assert opened == [season]
