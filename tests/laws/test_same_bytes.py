"""A law of the report: the same standard and log give the same bytes, in whatever process."""

import os
import subprocess
import sys
from pathlib import Path

_ROOT = Path(__file__).resolve().parents[2]
_RANDOM = """
from trials.pairs import pairs
from standfast.replay import replay
from standfast.report.documents import grade_document, written
verdicts = [verdict for _, machine, log, _ in pairs("bytes", 100) for verdict in replay(machine, log)]
print(written(grade_document(verdicts, [], [], [])))
"""


def test_verdicts_are_the_same_bytes_in_two_processes() -> None:
    logs = sorted(str(path) for path in _ROOT.glob("standards/*/logs"))
    for command in (["-m", "standfast", "grade", "--format", "json", *logs], ["-c", _RANDOM]):
        one, other = _output(command, "1"), _output(command, "2")
        assert one == other
        assert one.count(b'"schema": "verdict/1"') >= 24


def _output(command: list[str], seed: str) -> bytes:
    path = os.pathsep.join((str(_ROOT / "engine"), str(_ROOT / "tools")))
    environment = {**os.environ, "PYTHONPATH": path, "PYTHONHASHSEED": seed}
    return subprocess.run([sys.executable, *command], env=environment, capture_output=True).stdout
