"""Spoilt rule files and logs through the command line: each must end in a verdict or in errors, and soon.

What is held to: exit code 2 exactly when an error was reported, both formats of one mind, no traceback, never the
message that says the fault is standfast's, and an end within seconds.
"""

import io
import json
import signal
import tempfile
import time
from collections import Counter
from collections.abc import Iterator, Sequence
from contextlib import redirect_stderr, redirect_stdout
from multiprocessing import Pool
from pathlib import Path
from random import Random
from types import FrameType
from unittest.mock import patch

from attrs import frozen
from plausible import random_standard
from plausible_corrections import corrected
from plausible_logs import random_log

from standfast.codes.files import NOT_KEPT
from standfast.command.line import main
from standfast.log.sheet_writer import csv_bytes
from standfast.log.writer import log_bytes
from standfast.proofing import survey
from trials.corpus import ROOT
from trials.pairs import legal_standard
from trials.spoiling import spoilt

_BEFORE = b"\xef\xbb\xbf \t\r\n"
_SECONDS = 8.0  # of its own computing
_SHARE = 250
_POSITIONS, _EFFORT = 100, 25_000  # what `proof` spends: it gives up as it would on a standard that is too large


@frozen
class Offence:
    """A call that did not end as it must, and its files."""

    what: str
    rules: bytes
    log: bytes


class _Hang(BaseException):
    """Time is up; not an error that the command line would report."""


@frozen
class _Written:
    """A good rule file, and good logs for it, as lines of JSON or as tables."""

    rules: str
    logs: tuple[str, ...]


def trial(seed: str, count: int) -> tuple[Counter[str], list[Offence]]:
    """`count` calls on spoilt files: how they ended, and those that did not end as they must."""
    ended: Counter[str] = Counter()
    wrong = []
    kept = list(_kept())
    bounds = patch.multiple(survey, MOST_POSITIONS=_POSITIONS, MOST_EFFORT=_EFFORT)
    with tempfile.TemporaryDirectory() as folder, bounds:
        for number in range(count):
            rng = Random(f"{seed}/{number}")
            verb, rules, log = _files(rng, kept)
            call = _Call(Path(folder), verb, rng.random() < 0.2)
            code, what = call.tried(rules, log)
            ended[f"{verb} exit {code}"] += 1
            if what is not None:
                wrong.append(Offence(f"seed {seed}, call {number}, {verb}: {what}", rules, log))
    return ended, wrong


def _files(rng: Random, kept: Sequence[_Written]) -> tuple[str, bytes, bytes]:
    """A verb, a rule file and a log, one of them spoilt, or both."""
    if rng.random() < 0.4:
        text = random_standard(rng) if rng.random() < 0.5 else rng.choice(kept).rules
        return rng.choice(("proof", "proof", "tidy", "brief")), spoilt(rng, text), b""
    written = _random_written(rng) if rng.random() < 0.4 else rng.choice([each for each in kept if each.logs])
    log = rng.choice(written.logs)
    which = rng.random()
    rules = spoilt(rng, written.rules) if which < 0.4 else written.rules.encode()
    return "grade", rules, spoilt(rng, log) if which > 0.3 else log.encode()


def _kept() -> Iterator[_Written]:
    """Those of the shipped standards and of the tests."""
    for path in sorted((*ROOT.glob("standards/**/*.standard"), *ROOT.glob("tests/**/*.standard"))):
        logs = sorted(path.parent.glob("logs/*.jsonl"))
        yield _Written(path.read_text(encoding="utf-8"), tuple(log.read_text(encoding="utf-8") for log in logs))


def _random_written(rng: Random) -> _Written:
    text, machine, _ = legal_standard(rng)
    log = random_log(rng, machine)
    if rng.random() < 0.5:
        log = corrected(rng, log, machine.standard)
    written = csv_bytes(log) if rng.random() < 0.5 else log_bytes(log)
    return _Written(text, (written.decode("utf-8-sig"),))


# --- one call ------------------------------------------------------------------------------------------------


@frozen
class _Call:
    """`both`: in both formats, whose exit codes must be the same."""

    folder: Path
    verb: str
    both: bool

    def tried(self, rules: bytes, log: bytes) -> tuple[int, str | None]:
        """The exit code, and what is wrong with how it ended."""
        rule_file = self.folder / "rules.standard"
        log_file = self.folder / ("log.csv" if log.lstrip(_BEFORE)[:2] in (b"# ", b'"#') else "log.jsonl")
        rule_file.write_bytes(rules)
        log_file.write_bytes(log)
        if self.verb == "grade":
            files = ["--standard", str(rule_file), str(log_file)]
        else:
            files = [str(rule_file), *(["--ask"] if self.verb == "tidy" else [])]
        code, out, err, what = _ran([self.verb, "--format", "json", *files])
        what = what or _objection(code, out, err)
        if what is None and self.both:
            other, out, err, what = _ran([self.verb, "--format", "text", *files])
            if what is None and (other != code or "fault of standfast" in err or "Traceback" in err):
                what = f"text ends with {other} and json with {code}: {err[-200:]}"
        return code, what


def _objection(code: int, out: str, err: str) -> str | None:
    if err:
        return f"says {err[-200:]!r}"
    found = json.loads(out)["diagnostics"]
    if (code == 2) != any(one["severity"] == "error" for one in found):
        return f"ends with {code} and reports {[one['severity'] for one in found]}"
    if any(one["code"] == NOT_KEPT.number for one in found):
        return "does not keep what a standard means or says"
    return None if code in (0, 1, 2) else f"ends with {code}"


def _ran(arguments: Sequence[str]) -> tuple[int, str, str, str | None]:
    """Exit code, output, errors, and what broke out of the command line, if anything did."""
    out, err = io.StringIO(), io.StringIO()
    code, what = -1, None
    signal.signal(signal.SIGPROF, _stop)
    signal.setitimer(signal.ITIMER_PROF, _SECONDS)
    try:
        with redirect_stdout(out), redirect_stderr(err):
            code = int(main(arguments))
    except _Hang:
        what = f"still computing after {_SECONDS:.0f} s"
    except (Exception, SystemExit) as error:
        what = f"breaks down: {error!r}"
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0)
    return code, out.getvalue(), err.getvalue(), what


def _stop(number: int, frame: FrameType | None) -> None:
    raise _Hang


# --- the trial -------------------------------------------------------------------------------------------


def _share(job: tuple[str, int]) -> tuple[Counter[str], list[Offence]]:
    return trial(*job)


def spoil(count: int, seed: int, jobs: int) -> int:
    """Prints how the calls ended and keeps the files of the first offences; the result is the exit code."""
    started = time.monotonic()
    work = [(f"{seed}.{part}", min(_SHARE, count - part * _SHARE)) for part in range(-(-count // _SHARE))]
    ended: Counter[str] = Counter()
    wrong: list[Offence] = []
    with Pool(jobs) as pool:
        for counts, found in pool.imap_unordered(_share, work):
            ended += counts
            wrong += found
    if wrong:
        folder = Path(tempfile.mkdtemp(prefix="spoilt_"))
        for number, offence in enumerate(wrong[:20]):
            (folder / f"{number}.standard").write_bytes(offence.rules)
            (folder / f"{number}.jsonl").write_bytes(offence.log)
            print(f"{folder}/{number}: {offence.what}")
    print(f"files: {count}, seed {seed}, offences: {len(wrong)}, {time.monotonic() - started:.0f} s")
    for name, number in sorted(ended.items()):
        print(f"    {name}: {number}")
    return 1 if wrong else 0
