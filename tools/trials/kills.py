"""A process that adds records is killed at a random moment: what it acknowledged must be there, and whole.

The process is the command line, over and over: it grades with --keep and adds rulings, some of them very long.
Half of the kills come at a random moment, half a moment after the register begins to grow, so that they fall into
a write. Sometimes two processes add to one folder at once. What one prints of a record (`record 3 of FOLDER,
digest 0d05f62e2463`) is the acknowledgement.
"""

import io
import json
import os
import re
import signal
import time
from collections import Counter
from collections.abc import Iterator
from contextlib import redirect_stderr, redirect_stdout, suppress
from multiprocessing import Pool
from pathlib import Path
from random import Random
from tempfile import TemporaryDirectory

from standfast.codes import record as codes
from standfast.command.line import main
from standfast.record.files import ASIDE, REGISTER
from standfast.record.reading import Held, held_in
from trials.corpus import ROOT

_ROUNDS = 10  # kills in one folder
_LONGEST = 0.25  # seconds until a kill
_PATIENCE = 2  # seconds that a register is given to grow
_LONG = 4_000_000  # characters of a long reason
_STANDARD = ROOT / "standards" / "boat_crew_entry"
_ACKNOWLEDGED = re.compile(rb"^record (\d+) of .+, digest ([0-9a-f]{12})\n", re.M)


def trial(seed: str, kills: int) -> tuple[Counter[str], list[str]]:
    """Kills `kills` processes that add to one folder, one or two at a time; what was seen, and what went wrong."""
    rng = Random(seed)
    seen: Counter[str] = Counter()
    wrong: list[str] = []
    acknowledged: dict[int, str] = {}
    with TemporaryDirectory() as place:
        with redirect_stdout(io.StringIO()):
            main(_grading(Path(place) / "first"))  # so that all it needs is loaded
        folder = Path(place) / "records"
        while seen["kills"] < kills:
            several = 2 if rng.random() < 0.3 and kills - seen["kills"] > 1 else 1
            for number, digest in _killed(folder, rng, several):
                acknowledged[number] = digest
                seen["acknowledged"] += 1
            seen["kills"] += several
            seen["two at once"] += several == 2
            wrong += [
                f"seed {seed}, after kill {seen['kills']}: {each}" for each in _lost(folder, acknowledged, seen)
            ]
        wrong += [f"seed {seed}, at the end: {each}" for each in _at_the_end(folder, seen)]
    return seen, wrong


def _killed(folder: Path, rng: Random, several: int) -> list[tuple[int, str]]:
    """What processes acknowledged until each was killed."""
    running = [_started(folder, rng.random()) for _ in range(several)]
    for process, _ in running:
        if rng.random() < 0.5:
            time.sleep(rng.uniform(0, _LONGEST))
        else:
            for _ in range(rng.randint(1, 3)):
                _wait_for_growth(folder / REGISTER)
            time.sleep(rng.choice((0, rng.uniform(0, 0.002))))
        os.kill(process, signal.SIGKILL)
    said = []
    for process, output in running:
        with os.fdopen(output, "rb") as file:
            told = file.read()
        _, status = os.waitpid(process, 0)
        if os.waitstatus_to_exitcode(status) != -signal.SIGKILL:
            raise RuntimeError(f"it ended by itself: {told[-500:]!r}")
        said += [(int(number), digest.decode()) for number, digest in _ACKNOWLEDGED.findall(told)]
    return said


def _started(folder: Path, seed: float) -> tuple[int, int]:
    """The number of a process that adds records until it is killed, and where its output can be read."""
    reading, writing = os.pipe()
    process = os.fork()
    if process == 0:
        try:
            os.close(reading)
            with os.fdopen(writing, "w") as out, redirect_stdout(out), redirect_stderr(out):
                _add(folder, Random(seed))
        finally:
            os._exit(1)
    os.close(writing)
    return process, reading


def _wait_for_growth(path: Path) -> None:
    began, size = time.monotonic(), _size(path)
    while _size(path) == size and time.monotonic() < began + _PATIENCE:
        pass


def _size(path: Path) -> int:
    try:
        return path.stat().st_size
    except FileNotFoundError:
        return 0


def _lost(folder: Path, acknowledged: dict[int, str], seen: Counter[str]) -> Iterator[str]:
    """What was acknowledged and is not there or not whole, and what is read as whole and is not."""
    there: dict[int, str] = {}
    for one in held_in(folder):
        if isinstance(one, Held):
            there[one.line] = one.digest
        elif one.code is codes.CUT_SHORT:
            seen["cut short"] += 1
        elif one.code is codes.NO_REGISTER:
            seen["before the first record"] += 1
        elif one.code is not codes.SET_ASIDE:
            yield f"{one.code.number} {one.message}"
    for number, digest in acknowledged.items():
        if not there.get(number, "").startswith(digest):
            yield f"record {number}, digest {digest}, is not there"


def _at_the_end(folder: Path, seen: Counter[str]) -> Iterator[str]:
    """One more record is added, and everything graded again."""
    out = io.StringIO()
    with redirect_stdout(out), redirect_stderr(io.StringIO()):
        main(_grading(folder))
        out.truncate(out.seek(0))
        code = main(["recheck", str(folder), "--format", "json"])
    document = json.loads(out.getvalue())
    told = [one["code"] for one in document["diagnostics"] if one["code"] != codes.SET_ASIDE.number]
    if code != 0 or told or not document["verdicts"]:
        yield f"recheck ends with {code}: {told}"
    seen["records"] += len(document["verdicts"]) + len(document["rulings"])
    with suppress(FileNotFoundError):
        seen["set aside"] += len(list((folder / ASIDE).iterdir()))


def _grading(folder: Path) -> list[str]:
    log = _STANDARD / "logs" / "passed_first_time.jsonl"
    return ["grade", "--keep", str(folder), "--standard", str(_STANDARD), str(log)]


def _add(folder: Path, rng: Random) -> None:
    """Adds records for ever, one verdict to three rulings."""
    main(_grading(folder))
    ruling = ["ruling", str(folder), "1", "--by", "E-2", "--outcome", "VOID", "--reason"]
    while True:
        for _ in range(3):
            main([*ruling, "x" * (rng.randrange(_LONG) if rng.random() < 0.7 else 10)])
        main(_grading(folder))


def hold(count: int, seed: int, jobs: int) -> int:
    """Prints what was found; the result is the exit code."""
    started = time.monotonic()
    work = [(f"{seed}.{part}", min(_ROUNDS, count - part * _ROUNDS)) for part in range(-(-count // _ROUNDS))]
    seen: Counter[str] = Counter()
    wrong: list[str] = []
    with Pool(jobs) as pool:
        for counts, found in pool.imap_unordered(_tried, work):
            seen += counts
            wrong += found
    for each in wrong[:10]:
        print(each)
    print(f"kills: {seen['kills']}, seed {seed}, wrong: {len(wrong)}, {time.monotonic() - started:.0f} s")
    for name, number in sorted(seen.items()):
        print(f"    {name}: {number}")
    return 1 if wrong or seen["kills"] != count else 0


def _tried(job: tuple[str, int]) -> tuple[Counter[str], list[str]]:
    return trial(*job)
