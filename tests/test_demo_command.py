"""`tools/demo.py`: what it prints can be typed, and it ends quietly when nobody reads on."""

import os
import subprocess
import sys
from pathlib import Path

import demo
from environment import ROOT
from shipped import folders, logs

TOOLS = ROOT / "tools"
RUN = "import sys, demo; from pathlib import Path; demo.ready_to_run = lambda: Path(sys.executable); "


def test_the_command_it_prints_works_in_the_checkout() -> None:
    log = logs(folders(ROOT)[0])[0]
    typed = demo.as_typed(Path(sys.executable), log)
    clean = {name: value for name, value in os.environ.items() if not name.startswith("PYTHON")}
    done = subprocess.run(typed, shell=True, cwd=ROOT, env=clean, capture_output=True, encoding="utf-8")
    assert done.returncode in (0, 1) and done.stderr == "" and f"log {log.relative_to(ROOT)}" in done.stdout
    inside = demo.as_typed(ROOT / ".venv" / "bin" / "python", log)
    assert f"{Path('.venv/bin/python')} -m standfast grade standards" in inside


def test_it_ends_quietly_when_nobody_reads_on() -> None:
    reading, writing = os.pipe()
    os.close(reading)
    code = RUN + "sys.exit(demo.run())"
    environment = {**os.environ, "PYTHONPATH": str(TOOLS)}
    done = subprocess.run(
        [sys.executable, "-c", code], cwd=ROOT, env=environment, stdout=writing, stderr=subprocess.PIPE
    )
    os.close(writing)
    assert (done.returncode, done.stderr) == (141, b"")


def test_stopping_it_ends_with_a_line() -> None:
    code = "import sys, demo\ndef stop(): raise KeyboardInterrupt\ndemo.ready_to_run = stop\nsys.exit(demo.run())"
    environment = {**os.environ, "PYTHONPATH": str(TOOLS)}
    done = subprocess.run([sys.executable, "-c", code], cwd=ROOT, env=environment, capture_output=True)
    assert (done.returncode, done.stdout, done.stderr.split()) == (130, b"", [b"demo:", b"stopped"])
