"""Folders of a standard with its logs and the verdicts that are expected of them.

A folder has the rule files, `logs/LOG.jsonl` and, for each, `expected/LOG.json`. An expected verdict is a
listing: the outcome and when it was certain; of each reason the kind, path, time and entry, those of the attempts
before those of none; of each remark the kind, the entry and, where there is one, the path; of rounds, by attempt,
the path, how many were made and missed, and the furthest; the paths of what is owed; of what a close call could be
as well the outcome, the least doubt in seconds, and the entries that move, null for the end. Remarks, rounds,
things owed and close calls are left out where there are none. Times are written as in a log.
"""

import json
import os
import subprocess
from hashlib import sha256
from pathlib import Path
from typing import Any

from environment import ROOT

Listing = dict[str, Any]


def folders(root: Path) -> list[Path]:
    """Those of the shipped standards, by name."""
    return sorted(path.parent for path in root.glob("standards/*/logs"))


def logs(folder: Path) -> list[Path]:
    return sorted((folder / "logs").glob("*.jsonl"))


def expected_file(log: Path) -> Path:
    return log.parent.parent / "expected" / f"{log.stem}.json"


def expected(log: Path) -> list[Listing]:
    """The listings of a log in the order of its candidates; empty if nothing is written down."""
    path = expected_file(log)
    if not path.exists():
        return []
    listings: list[Listing] = json.loads(path.read_text(encoding="utf-8"))["verdicts"]
    return listings


def graded(python: Path, folder: Path) -> dict[Path, list[Listing]]:
    """What the command line gives on every log of a folder; an empty list for a log it refuses."""
    command = [str(python), "-m", "standfast", "grade", "--format", "json"]
    command += ["--standard", str(folder), str(folder / "logs")]
    done = subprocess.run(command, capture_output=True, encoding="utf-8", env=with_engine())
    if not done.stdout:
        raise RuntimeError(f"{' '.join(command)} ended with {done.returncode}\n{done.stderr}")
    by_digest: dict[str, list[Listing]] = {}
    for verdict in json.loads(done.stdout)["verdicts"]:
        by_digest.setdefault(verdict["log_digest"], []).append(listing(verdict))
    return {log: by_digest.get(sha256(log.read_bytes()).hexdigest(), []) for log in logs(folder)}


def with_engine() -> dict[str, str]:
    """The surroundings in which `python -m standfast` is that of this checkout."""
    return {**os.environ, "PYTHONPATH": str(ROOT / "engine"), "PYTHONIOENCODING": "utf-8"}


def listing(verdict: dict[str, Any]) -> Listing:
    """Of a verdict as a JSON document."""
    attempts = [attempt for event in verdict["events"] for attempt in event["attempts"]]
    listed = {
        "candidate": verdict["candidate"],
        "outcome": verdict["outcome"],
        "decided_at": _logged(verdict["decided_at"]),
        "reasons": [
            [reason["kind"], reason["path"], _logged(reason["at"]), reason["entry"]]
            for part in (*attempts, verdict)
            for reason in part["reasons"]
        ],
    }
    for key in ("points", "grade"):
        if verdict[key] is not None:
            listed[key] = verdict[key]
    if verdict["remarks"]:
        listed["remarks"] = [
            [remark["kind"], remark["entry"], *([remark["path"]] if remark["path"] else [])]
            for remark in verdict["remarks"]
        ]
    rounds = [each for attempt in attempts for each in attempt["rounds"]]
    if rounds:
        listed["rounds"] = [[each["path"], each["made"], each["missed"], each["furthest"]] for each in rounds]
    if verdict["owed"]:
        listed["owed"] = [owed["path"] for owed in verdict["owed"]]
    if verdict["doubt"] and verdict["doubt"]["others"]:
        listed["close_calls"] = [
            [other["outcome"], other["least"]["amount"], [shift["entry"] for shift in other["shifts"]]]
            for other in verdict["doubt"]["others"]
        ]
    return listed


def _logged(exact: str | None) -> str | None:
    """A time of a JSON document, `m:ss.ffffff`, as a grader logs it."""
    if exact is None:
        return None
    minutes, seconds = exact.split(":")
    hours, rest = divmod(int(minutes), 60)
    return f"{f'{hours}:{rest:02}' if hours else rest}:{seconds.rstrip('0').rstrip('.')}"
