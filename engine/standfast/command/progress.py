"""How far a long run is: one line on standard error, only where that is a terminal."""

import sys
import time
from collections.abc import Callable

from standfast.values import define, field

_WIDTH = 30
_PAUSE = 0.1
"""Seconds between two drawings."""


@define
class Progress:
    """`total` is asked for once, and only where something is drawn."""

    total: Callable[[], int]
    done: int = 0
    _shown: bool = field(init=False)
    _of: int = 0
    _drawn: float = 0.0

    def __attrs_post_init__(self) -> None:
        self._shown = sys.stderr.isatty()
        self._of = self.total() if self._shown else 0

    def step(self, logs: int = 1) -> None:
        self.done += logs
        if self._shown and time.monotonic() >= self._drawn + _PAUSE:
            self._drawn = time.monotonic()
            of = max(self._of, self.done)
            full = _WIDTH * self.done // of
            bar = "#" * full + "." * (_WIDTH - full)
            sys.stderr.write(f"\r[{bar}] {100 * self.done // of} %, {self.done} of {of} logs")
            sys.stderr.flush()

    def clear(self) -> None:
        if self._shown:
            sys.stderr.write("\r\x1b[K")
            sys.stderr.flush()
