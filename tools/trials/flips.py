"""One flipped bit anywhere in a register, a copy, a log or a standard: `recheck` must find it, on its line."""

import io
import time
from collections import Counter
from contextlib import redirect_stderr, redirect_stdout
from multiprocessing import Pool
from pathlib import Path
from random import Random
from shutil import copy
from tempfile import TemporaryDirectory

from standfast.command.line import main
from standfast.command.objections import exit_for
from standfast.command.recheck import Checking
from standfast.diagnostic import Diagnostic
from standfast.record.entry import VerdictRecord
from standfast.record.files import REGISTER, log_copy, standard_copy
from standfast.record.reading import Held, held_in
from trials.corpus import ROOT

_SHARE = 250
_LOGS = 2  # of each register


def trial(seed: str, count: int) -> tuple[Counter[str], list[str]]:
    """Flips `count` bits, one at a time, in one folder of records; what was flipped, and what was not found."""
    rng = Random(seed)
    seen: Counter[str] = Counter()
    wrong: list[str] = []
    with TemporaryDirectory() as place:
        home = Path(place)
        records = _kept(home, rng)
        untouched = [one for one in Checking(records).checked() if isinstance(one, Diagnostic)]
        if untouched:
            return seen, [f"seed {seed}: found in an untouched folder: {untouched[0].message}"]
        kinds = _files(records)
        for number in range(count):
            kind = rng.choice(sorted(kinds))
            path = rng.choice(kinds[kind])
            data = path.read_bytes()
            at, bit = rng.randrange(len(data)), rng.randrange(8)
            path.write_bytes(data[:at] + bytes([data[at] ^ 1 << bit]) + data[at + 1 :])
            found = [one for one in Checking(records).checked() if isinstance(one, Diagnostic)]
            path.write_bytes(data)
            seen[kind] += 1
            line = data[:at].count(b"\n") + 1
            places = [(Path(d.span.source.name).resolve(), d.span.line) for d in found if d.span is not None]
            if exit_for(found) == 0 or (path.resolve(), line) not in places:
                what = [f"{d.code.number} {d.message}" for d in found]
                wrong.append(f"seed {seed}, flip {number}: {kind}, byte {at}, bit {bit}, line {line}: {what}")
    return seen, wrong


def _kept(home: Path, rng: Random) -> Path:
    """A folder of records of some shipped logs of one standard, with a ruling, and beside it what was graded."""
    shipped = rng.choice(sorted({path.parent for path in ROOT.glob("standards/*/logs")}))
    rules, logs, records = home / "rules", home / "logs", home / "records"
    for folder in (rules, logs):
        folder.mkdir()
    for path in shipped.glob("*.standard"):
        copy(path, rules)
    for path in rng.sample(sorted((shipped / "logs").glob("*.jsonl")), _LOGS):
        copy(path, logs)
    with redirect_stdout(io.StringIO()), redirect_stderr(io.StringIO()):
        main(["grade", "--keep", str(records), "--standard", str(rules), str(logs)])
        ruled = [
            "--by",
            "Examiner E-2",
            "--reason",
            "a protest",
            "--outcome",
            "GO",
            "--at",
            "2026-04-11T12:00:00Z",
        ]
        main(["ruling", str(records), "1", *ruled])
    return records


def _files(records: Path) -> dict[str, list[Path]]:
    """What the records rest on, by kind: the register, the copies, and the files that were graded."""
    held = [one.record for one in held_in(records) if isinstance(one, Held)]
    verdicts = [record for record in held if isinstance(record, VerdictRecord)]
    return {
        "a record": [records / REGISTER],
        "a copy of a standard": [records / standard_copy(each.standard.bytes_digest) for each in verdicts],
        "a copy of a log": [records / log_copy(each.log.digest) for each in verdicts],
        "a standard": [records / (each.standard.file or "") for each in verdicts],
        "a log": [records / (each.log.file or "") for each in verdicts],
    }


def hold(count: int, seed: int, jobs: int) -> int:
    """Prints what was found; the result is the exit code."""
    started = time.monotonic()
    work = [(f"{seed}.{part}", min(_SHARE, count - part * _SHARE)) for part in range(-(-count // _SHARE))]
    seen: Counter[str] = Counter()
    wrong: list[str] = []
    with Pool(jobs) as pool:
        for counts, found in pool.imap_unordered(_tried, work):
            seen += counts
            wrong += found
    for each in wrong[:10]:
        print(each)
    total = seen.total()
    print(f"flips: {total}, seed {seed}, not found: {len(wrong)}, {time.monotonic() - started:.0f} s")
    for name, number in sorted(seen.items()):
        print(f"    {name}: {number}")
    return 1 if wrong or total != count else 0


def _tried(job: tuple[str, int]) -> tuple[Counter[str], list[str]]:
    return trial(*job)
