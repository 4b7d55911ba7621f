"""The few of many inputs that cover what all do: which steps from line to line of the package each one takes."""

import sys
from collections.abc import Callable, Mapping
from pathlib import Path
from types import FrameType

from fuzzing.readers import ROOT

Step = tuple[str, int, int]

_PACKAGE = str(ROOT / "engine" / "standfast")


def distilled(
    inputs: Mapping[Path, bytes], read: Callable[[bytes], None], most: int
) -> tuple[list[Path], int, int]:
    """At most so many, always next the one that adds most; then how many steps they cover, and how many all do.

    Of two that add as much the shorter comes first.
    """
    steps = {path: _steps(data, read) for path, data in inputs.items()}
    whole = len(set().union(*steps.values()))
    chosen: list[Path] = []
    covered: set[Step] = set()
    while steps and len(chosen) < most:
        best = max(steps, key=lambda path: (len(steps[path] - covered), -len(inputs[path]), path.name))
        if not steps[best] - covered:
            break
        covered |= steps.pop(best)
        chosen.append(best)
    return chosen, len(covered), whole


def _steps(data: bytes, read: Callable[[bytes], None]) -> set[Step]:
    found: set[Step] = set()
    before: dict[FrameType, int] = {}

    def trace(frame: FrameType, event: str, argument: object) -> object:
        name = frame.f_code.co_filename
        if not name.startswith(_PACKAGE):
            return None
        if event == "line":
            found.add((name, before.get(frame, 0), frame.f_lineno))
            before[frame] = frame.f_lineno
        elif event == "return":
            before.pop(frame, None)
        return trace

    sys.settrace(trace)  # type: ignore[arg-type]
    try:
        read(data)
    finally:
        sys.settrace(None)
    return found
