"""Progress on standard error, for a terminal only: standard output stays what was asked for."""

from __future__ import annotations

import sys
import time
from pathlib import Path

from dashboard.harmless import harmless
from dashboard.standing.refresh import refresh

QUIET_S = 1.0


class Progress:
    """Called with a share and a text; shows itself once a second has passed, on one line."""

    def __init__(self) -> None:
        self._began = time.monotonic()
        self._shown = False

    def __call__(self, share: float, text: str) -> None:
        if sys.stderr.isatty() and time.monotonic() - self._began > QUIET_S:
            print(f"\r\033[K{100 * share:3.0f} %  {harmless(text)}", end="", file=sys.stderr, flush=True)
            self._shown = True

    def done(self) -> None:
        """Clear the line."""
        if self._shown:
            print("\r\033[K", end="", file=sys.stderr, flush=True)


def refreshed(store: Path) -> None:
    """Work out what a change has made stale, and show how far it is."""
    progress = Progress()
    refresh(store, progress=progress)
    progress.done()
