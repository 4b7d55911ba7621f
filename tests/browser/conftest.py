"""A real Chromium without a window, spoken to through a pipe, and the pages it is shown.

It must be there: on Debian as root it is installed, anywhere else its absence fails the tests.
"""

import base64
import contextlib
import fcntl
import json
import os
import select
import shutil
import subprocess
import time
from collections.abc import Iterator
from pathlib import Path
from random import Random
from typing import Any

import pytest
from attrs import define, field
from plausible import random_standard

from standfast.command.line import main
from standfast.pipeline import load_standard
from standfast.report.brief.html import page_html
from standfast.report.brief.page import Page
from standfast.source import Source

ROOT = Path(__file__).resolve().parents[2]
NAMES = ("chromium", "chromium-browser", "google-chrome")
PATIENCE = 60  # seconds for one answer
FLAGS = (
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--disable-dev-shm-usage",
    "--hide-scrollbars",
    "--remote-debugging-pipe",
)


def _found() -> str | None:
    return next(filter(None, map(shutil.which, NAMES)), None)


def _chromium() -> str:
    if _found() is None and os.path.exists("/etc/debian_version") and os.geteuid() == 0:
        quiet = {"env": {**os.environ, "DEBIAN_FRONTEND": "noninteractive"}, "capture_output": True}
        wait = ("-o", "DPkg::Lock::Timeout=300")
        subprocess.run(["apt-get", *wait, "update"], **quiet)  # type: ignore[call-overload]
        install = ["apt-get", *wait, "install", "-y", "--no-install-recommends", "chromium"]
        subprocess.run(install, **quiet)  # type: ignore[call-overload]
    return _found() or pytest.fail(f"no browser: one of {', '.join(NAMES)} must be installed")


@define
class Browser:
    """One tab. `requests` are the addresses asked for since the page was opened."""

    _process: "subprocess.Popen[bytes]"
    _read: int
    _write: int
    requests: list[str] = field(factory=list)
    _waiting: bytes = b""
    _number: int = 0
    _tab: str | None = None
    _events: list[str] = field(factory=list)

    def call(self, method: str, **facts: object) -> Any:
        self._number += 1
        tab = {} if self._tab is None else {"sessionId": self._tab}
        message = {"id": self._number, "method": method, "params": facts, **tab}
        os.write(self._write, json.dumps(message).encode() + b"\0")
        while (answer := self._next()).get("id") != self._number:
            self._note(answer)
        assert "error" not in answer, answer
        return answer["result"]

    def begin(self) -> None:
        target = self.call("Target.createTarget", url="about:blank")["targetId"]
        self._tab = self.call("Target.attachToTarget", targetId=target, flatten=True)["sessionId"]
        self.call("Page.enable")
        self.call("Network.enable")

    def open(self, page: Path) -> None:
        self.requests.clear()
        self._events.clear()
        self.call("Page.navigate", url=page.as_uri())
        while "Page.loadEventFired" not in self._events:
            self._note(self._next())

    def at(self, width: int, media: str = "screen") -> None:
        self.call("Emulation.setEmulatedMedia", media=media)
        self.call("Emulation.setDeviceMetricsOverride", width=width, height=900, deviceScaleFactor=1, mobile=False)

    def ask(self, script: str) -> Any:
        """What a function body gives."""
        given = self.call("Runtime.evaluate", expression=f"(() => {{ {script} }})()", returnByValue=True)
        assert "exceptionDetails" not in given, given
        return given["result"].get("value")

    def pdf(self, width: float, height: float) -> bytes:
        """The page printed on paper of this size in inches, as a printer gets it: without backgrounds."""
        self.call("Emulation.setEmulatedMedia", media="")
        return base64.b64decode(self.call("Page.printToPDF", paperWidth=width, paperHeight=height)["data"])

    def _note(self, event: dict[str, Any]) -> None:
        self._events.append(event.get("method", ""))
        if event.get("method") == "Network.requestWillBeSent":
            self.requests.append(event["params"]["request"]["url"])

    def _next(self) -> Any:
        until = time.monotonic() + PATIENCE
        while b"\0" not in self._waiting:
            ready, _, _ = select.select([self._read], [], [], max(0, until - time.monotonic()))
            part = os.read(self._read, 1 << 20) if ready else b""
            assert part, f"the browser did not answer; it ended with {self._process.poll()}"
            self._waiting += part
        message, _, self._waiting = self._waiting.partition(b"\0")
        return json.loads(message)


def _high(descriptor: int) -> int:
    """The descriptor under a number that is not in the way of the two the browser reads and writes."""
    moved = fcntl.fcntl(descriptor, fcntl.F_DUPFD_CLOEXEC, 20)
    os.close(descriptor)
    return moved


@pytest.fixture(scope="session")
def browser(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Browser]:
    chromium = _chromium()
    commands, write = map(_high, os.pipe())
    read, answers = map(_high, os.pipe())

    def give() -> None:
        os.dup2(commands, 3)
        os.dup2(answers, 4)

    profile = tmp_path_factory.mktemp("profile")
    process = subprocess.Popen(
        [chromium, *FLAGS, f"--user-data-dir={profile}", "about:blank"],
        stdin=subprocess.DEVNULL,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
        close_fds=False,
        preexec_fn=give,
    )
    os.close(commands)
    os.close(answers)
    started = Browser(process, read, write)
    try:
        started.begin()
        yield started
    finally:
        with contextlib.suppress(OSError, AssertionError):
            started._tab = None
            started.call("Browser.close")
        try:
            process.wait(20)
        except subprocess.TimeoutExpired:
            process.kill()
            process.wait()
        os.close(read)
        os.close(write)


def _texts() -> Iterator[tuple[str, str]]:
    files = (
        *ROOT.glob("standards/*/*.standard"),
        *ROOT.glob("tests/practitioner/*.standard"),
        *ROOT.glob("tests/report/brief/*.standard"),
    )
    for path in sorted(files):
        yield path.stem, path.read_text(encoding="utf-8")
    for seed in (3, 8):
        yield f"random_{seed}", random_standard(Random(seed))
    yield "deep", _deep(12)


def _deep(levels: int) -> str:
    """Groups in groups, with names and sentences too long for any line."""
    long = "x" * 90
    head = 'standard deep "Deep"\n    edition "1"\n    in force from 2026-01-01\nmarks\n    go "Go"\n'
    groups = "".join(f'{"    " * level}in order group_{long}_{level} "{long}"\n' for level in range(1, levels + 1))
    out, inner = "    " * (levels + 1), "    " * (levels + 2)
    step = f'{out}step latter\n{inner}until go\n{inner}within 9 s "{long}"\n'
    return f"{head}event e\n    attempts 1\n    start on go\n{groups}{step}"


GRADED = {
    "let_go": ("boat_crew_entry/logs/let_go_twice_then_passed.jsonl",),
    "close": ("boat_crew_entry/logs/exactly_at_every_limit.jsonl", "--times-within", "1 s"),
    "void": ("boat_and_shore_trial/logs/mass_and_duty_not_stated.jsonl",),
    "unfinished": ("boat_crew_entry/logs/did_not_answer.jsonl",),
    "rounds": ("shuttle_swim_check/logs/let_by_and_three_in_a_row_twice.jsonl",),
    "halted": ("rope_rescue_check/logs/stopped_for_safety.jsonl",),
    "class": ("water_points/logs",),
}
"""What is graded for a page of verdicts, by the page's name: shipped logs, and options."""


def _verdict_pages(folder: Path) -> Iterator[tuple[str, Path]]:
    """Pages of verdicts by `NAME.verdicts`: of shipped logs and of a swim with many entries and odd names."""
    own = ROOT / "tests/report/verdict_page"
    given: dict[str, tuple[str, ...]] = {}
    given |= {log.stem: (str(log), "--standard", str(own)) for log in sorted(own.glob("*.jsonl"))}
    given |= {name: tuple(_shipped(each) for each in what) for name, what in GRADED.items()}
    for name, arguments in given.items():
        path = folder / f"{name}.verdicts.html"
        main(["grade", *arguments, "--page", str(path)])
        yield f"{name}.verdicts", path


def _revision_pages(folder: Path) -> Iterator[tuple[str, Path]]:
    """Pages of two editions compared by `NAME.revision`: shipped ones with an archive, and one of odd names."""
    home, own = ROOT / "standards/line_and_sprint", ROOT / "tests/report/comparison_page"
    given = {
        "line": (home / "line_and_sprint_1.standard", home / "line_and_sprint_2.standard", home / "logs"),
        "odd": (own / "odd_1.standard", own / "odd_2.standard", own / "logs"),
    }
    for name, (old, new, logs) in given.items():
        path = folder / f"{name}.revision.html"
        main(["compare", str(old), str(new), "--archive", str(logs), "--page", str(path)])
        yield f"{name}.revision", path


def _shipped(argument: str) -> str:
    return str(ROOT / "standards" / argument) if "/" in argument else argument


@pytest.fixture(scope="session")
def pages(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    """Every page of every shipped standard and some others, by `STANDARD.PAGE`, of verdicts and of revisions."""
    folder = tmp_path_factory.mktemp("pages")
    found = {}
    for name, text in _texts():
        standard, diagnostics = load_standard(Source(name, text))
        assert standard is not None, [d.message for d in diagnostics]
        for page in Page:
            path = folder / f"{name}.{page.value}.html"
            path.write_text(page_html(standard, page), encoding="utf-8")
            found[f"{name}.{page.value}"] = path
    verdicts = dict(_verdict_pages(folder))
    revisions = dict(_revision_pages(folder))
    assert len(revisions) == 2 and all(path.exists() for path in revisions.values())
    assert len(found) > 15 and len(verdicts) == 10 and all(path.exists() for path in verdicts.values())
    return found | verdicts | revisions
