"""The dashboard as an ASGI application, with the headers that keep other pages and servers out.

`streamlit run dashboard/asgi.py` or any ASGI server can serve `app`.
"""

from __future__ import annotations

import gc
from pathlib import Path
from typing import Any

import streamlit as st
from starlette.middleware import Middleware
from starlette.responses import HTMLResponse
from starlette.routing import Route

from dashboard.app import PAGES
from dashboard.rendered import wake
from dashboard.shell import digests, shell

SHELL = shell()
POLICY = "; ".join((
    "default-src 'self'",
    " ".join(("script-src 'self'", *digests(SHELL))),
    "style-src 'self' 'unsafe-inline'",  # Streamlit writes its styles into the page
    "img-src 'self' data: blob:",
    "font-src 'self' data:",
    "connect-src 'self' ws://localhost:* ws://127.0.0.1:*",
    "worker-src 'self' blob:",
    "object-src 'none'",
    "base-uri 'self'",
    "form-action 'self'",
    "frame-ancestors 'none'",
))
HEADERS = (
    (b"content-security-policy", POLICY.encode()),
    (b"x-frame-options", b"DENY"),
    (b"x-content-type-options", b"nosniff"),
    (b"referrer-policy", b"no-referrer"),
    (b"cross-origin-opener-policy", b"same-origin"),
)


class SafeHeaders:
    """ASGI middleware that adds HEADERS to each HTTP answer; websockets pass through."""

    def __init__(self, app: Any) -> None:
        self.app = app

    async def __call__(self, scope: dict, receive: Any, send: Any) -> None:
        async def send_with_headers(message: dict) -> None:
            if message["type"] == "http.response.start":
                ours = {name for name, _ in HEADERS}
                kept = [pair for pair in message.get("headers", []) if pair[0].lower() not in ours]
                message = {**message, "headers": [*kept, *HEADERS]}
            await send(message)

        await self.app(scope, receive, send_with_headers if scope["type"] == "http" else send)


async def _shell(request: Any) -> HTMLResponse:
    return HTMLResponse(SHELL, headers={"cache-control": "no-cache"})


def _routes() -> list[Route]:
    """The address of each page; any other, and all of them where there is no shell, are left to Streamlit."""
    return [Route(path, _shell) for path in ("/", *(f"/{Path(page).stem}" for page in PAGES))] if SHELL else []


app = st.App(Path(__file__).with_name("app.py"), routes=_routes(), middleware=[Middleware(SafeHeaders)])
wake()
# Streamlit collects garbage after each run of a page, which would look through all that was imported, and holds up who clicks next meanwhile.
gc.freeze()
