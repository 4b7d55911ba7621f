"""Processes that do the work, and the process that gives it out."""

import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest
from environment import ROOT

SCRIPT = """\
import os, sys, time
from standfast.command.workers import Workers

def begin():
    pass

def work(batch):
    time.sleep(0.1)
    return os.getpid()

if __name__ == "__main__":
    found = Workers(2, begin, (), work, print).results([(each,) for each in range(20)])
    print(*{next(found) for _ in range(8)}, flush=True)
    time.sleep(60)
"""


LIMITED = """\
import resource
from standfast.command.workers import Workers

said = []

def begin(word):
    said[:] = [word]

def work(batch):
    return said[0]

if __name__ == "__main__":
    workers = Workers(2, begin, ("begun",), work, print)
    resource.setrlimit(resource.RLIMIT_NOFILE, ({files}, {files}))
    print(*workers.results([(each,) for each in range(20)]), "")
"""


def _is_there(process: int) -> bool:
    """Whether it is, and has not ended only to be taken note of."""
    try:
        return Path(f"/proc/{process}/stat").read_text("ascii").rpartition(")")[2].split()[0] != "Z"
    except FileNotFoundError:
        return False


@pytest.mark.parametrize("sign", [signal.SIGKILL, signal.SIGTERM])
def test_no_process_outlives_the_one_that_gives_out_the_work(tmp_path: Path, sign: signal.Signals) -> None:
    script = tmp_path / "script.py"
    script.write_text(SCRIPT, "utf-8")
    around = {**os.environ, "PYTHONPATH": str(ROOT / "engine")}
    with subprocess.Popen([sys.executable, script], stdout=subprocess.PIPE, text=True, env=around) as first:
        assert first.stdout is not None
        others = [int(each) for each in first.stdout.readline().split()]
        assert others and all(map(_is_there, others))
        first.send_signal(sign)
    until = time.monotonic() + 10
    while any(map(_is_there, others)) and time.monotonic() < until:
        time.sleep(0.02)
    left = list(filter(_is_there, others))
    for each in left:
        os.kill(each, signal.SIGKILL)
    assert left == []


@pytest.mark.parametrize("files", range(8, 20))
def test_where_no_process_can_be_started_the_work_is_done_here(tmp_path: Path, files: int) -> None:
    script = tmp_path / "script.py"
    script.write_text(LIMITED.format(files=files), "utf-8")
    around = {**os.environ, "PYTHONPATH": str(ROOT / "engine")}
    done = subprocess.run([sys.executable, script], capture_output=True, text=True, env=around, timeout=30)
    assert (done.stdout, done.stderr) == ("begun " * 20 + "\n", "")
