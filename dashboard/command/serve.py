"""`evenset demo` and `evenset open`: the dashboard on 127.0.0.1."""

from __future__ import annotations

import argparse
import os
import socket
import threading
import time
import webbrowser
from contextlib import suppress
from importlib.resources import files
from pathlib import Path
from urllib.request import urlopen

from dashboard import sample
from dashboard.command.progress import Progress
from dashboard.standing.refresh import refresh
from etl.refusal import Refusal
from etl.store import store_path

HOST = "127.0.0.1"
FIRST_PORT, PORTS = 8501, 100


def demo(options: argparse.Namespace) -> None:
    """Build the sample store if it is not there, and open the dashboard on it."""
    path = Path(options.store) if options.store else sample.sample_path()
    if not path.exists():
        print("Building the sample store from three invented logs ...", flush=True)
        progress = Progress()
        try:
            sample.build(path, progress)
        finally:
            progress.done()
    _serve(path, options)


def open_store(options: argparse.Namespace) -> None:
    """Open the dashboard on the store."""
    path = store_path(options.store)
    progress = Progress()
    refresh(path, progress=progress)
    progress.done()
    _serve(path, options)


def _serve(path: Path, options: argparse.Namespace) -> None:
    if options.port is not None and not 0 < options.port < 65536:
        raise Refusal(f"{options.port} is no port", "--port", "Name a number from 1 to 65535, or leave it out.")
    port = options.port or _free_port()
    if options.port and not _is_free(options.port):
        raise Refusal(f"Port {options.port} is in use", "--port", "Name another one, or leave it out.")
    address = f"http://{HOST}:{port}"
    os.environ["EVENSET_STORE"] = str(path)
    print(f"The dashboard is at {address}  (Ctrl+C ends it)", flush=True)
    if not options.no_browser:
        threading.Thread(target=_show, args=(address,), daemon=True).start()
    _run(port)


def _run(port: int) -> None:
    """Streamlit's own command, which reads dashboard/.streamlit/config.toml beside the app wherever it was started from."""
    from click import Abort  # Streamlit's own parser of commands: what Ctrl+C becomes in it
    from streamlit.web.cli import main

    app = files("dashboard") / "asgi.py"
    with suppress(Abort):  # Ctrl+C; at times the server ends by itself at it, and nothing is raised
        main(["run", str(app), "--server.port", str(port), "--server.address", HOST, "--server.headless", "true"], standalone_mode=False)
    print("The dashboard is closed.")


def _free_port() -> int:
    for port in range(FIRST_PORT, FIRST_PORT + PORTS):
        if _is_free(port):
            return port
    raise Refusal(f"No port from {FIRST_PORT} to {FIRST_PORT + PORTS - 1} is free", "--port", "Name one that is.")


def _is_free(port: int) -> bool:
    with socket.socket() as probe:
        probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind((HOST, port))
        except OSError:
            return False
    return True


def _show(address: str) -> None:
    """Open the browser once the server answers."""
    for _ in range(100):
        try:
            urlopen(f"{address}/_stcore/health", timeout=1).close()
            break
        except OSError:
            time.sleep(0.1)
    webbrowser.open(address)
