"""What the server sends beside the pages, and whom it listens to."""

from __future__ import annotations

import asyncio
import json
import tomllib
from pathlib import Path

from dashboard import asgi
from dashboard.asgi import HEADERS, SHELL, SafeHeaders
from dashboard.shell import digests, shell

DASHBOARD = Path(asgi.__file__).parent


def test_answers_carry_headers_that_keep_other_pages_and_servers_out():
    sent = asyncio.run(_answer_of(SafeHeaders))
    headers = dict(sent["headers"])
    policy = headers[b"content-security-policy"].decode()
    assert "default-src 'self'" in policy and "frame-ancestors 'none'" in policy
    assert "unsafe-eval" not in policy
    assert "; ".join(("default-src 'self'", " ".join(("script-src 'self'", *digests(SHELL))), "style-src")) in policy
    assert headers[b"x-frame-options"] == b"DENY"
    assert headers[b"x-content-type-options"] == b"nosniff"
    assert [name for name, _ in sent["headers"]].count(b"x-frame-options") == 1
    assert len(headers) == len(HEADERS) + 1


def test_each_inline_script_and_no_other_has_its_digest_in_the_policy():
    """CSP Level 3, section 8.1: the digest of `alert('Hello, world.');` as the specification gives it."""
    hello = "'sha256-qznLcsROx4GACP2dm0UCKCzCG+HiZ1guq6ZZDob/Tng='"
    page = "<!-- <script>no()</script> --><script src='a.js'></script><script>alert('Hello, world.');</script><p>alert('x')</p>"
    assert digests(page) == [hello]
    assert digests("<p>no script</p>") == digests(None) == []


def test_a_streamlit_without_its_page_is_served_as_it_comes(tmp_path):
    assert shell(tmp_path / "index.html") is None
    (tmp_path / "index.html").write_text("<body></body>")
    assert shell(tmp_path / "index.html") == "<body></body>"


async def _answer_of(middleware) -> dict:
    sent = []

    async def inner(scope, receive, send):
        await send({"type": "http.response.start", "status": 200, "headers": [(b"X-Frame-Options", b"ALLOW"), (b"etag", b"1")]})

    async def collect(message):
        sent.append(message)

    await middleware(inner)({"type": "http"}, None, collect)
    return sent[0]


def test_the_server_listens_to_this_machine_alone_and_tells_nobody():
    config = tomllib.loads((DASHBOARD / ".streamlit" / "config.toml").read_text("utf-8"))
    assert config["server"]["address"] == "127.0.0.1"
    assert config["server"]["allowedHosts"] == ["localhost", "127.0.0.1"]
    assert config["browser"]["gatherUsageStats"] is False
    assert config["client"]["toolbarMode"] == "minimal"
    assert "http" not in json.dumps(config)
