"""Shows the full screen in a browser of this computer, by textual-serve; each page has a program of its own.

Whoever reaches the port presses its keys. So it is bound to loopback; and since every page of the web that is open in the
same browser can send to loopback too, what another page sends is refused.
"""

from __future__ import annotations

import logging
from pathlib import Path

from aiohttp import web
from aiohttp.typedefs import Handler, Middleware
from textual_serve.server import Server

ADDRESS = "127.0.0.1"
# As a browser on this computer may call it.
NAMES = (ADDRESS, "localhost")
PAGE = Path(__file__).parent


class OwnServer(Server):
    """Serves its own page, which fetches nothing from elsewhere, and answers no other."""

    def __init__(self, command: str, port: int, title: str) -> None:
        """command: for the shell, run once for each page that is opened."""
        super().__init__(command, host=ADDRESS, port=port, title=title, templates_path=PAGE)

    async def _make_app(self) -> web.Application:
        app = await super()._make_app()
        app.middlewares.append(own_page_only(self.port))
        return app

    def initialize_logging(self) -> None:
        """Only what goes wrong is printed."""
        logging.basicConfig(level=logging.WARNING, format="%(message)s")

    async def on_startup(self, app: web.Application) -> None:
        """The command prints what there is to know."""


def own_page_only(port: int) -> Middleware:
    """Refuse what is asked for under another name than this computer's, or by a page from elsewhere."""
    hosts = {f"{name}:{port}" for name in NAMES}
    origins = {None, *(f"http://{host}" for host in hosts)}

    @web.middleware
    async def answer(request: web.Request, handler: Handler) -> web.StreamResponse:
        if request.host not in hosts or request.headers.get("Origin") not in origins:
            raise web.HTTPForbidden(text="Only the page of this program is answered.")
        return await handler(request)

    return answer
