"""Folders of a standard with its logs and the verdicts that are expected of them.

A folder has the rule files, `logs/LOG.jsonl` and, for each, `expected/LOG.json`. An expected verdict is short: the
outcome and when it was certain; of each reason the kind, path, time and entry; of each remark the kind, entry and,
where there is one, path; and the paths of what is owed. Remarks and things owed are left out where there are none.
"""

import json
import subprocess
from hashlib import sha256
from pathlib import Path
from typing import Any

Short = dict[str, Any]


def folders(root: Path) -> list[Path]:
    """Those of the shipped standards, by name."""
    return sorted(path.parent for path in root.glob("standards/*/logs"))


def logs(folder: Path) -> list[Path]:
    return sorted((folder / "logs").glob("*.jsonl"))


def expected(log: Path) -> list[Short]:
    """The short verdicts that are expected of a log, in the order of its candidates."""
    path = log.parent.parent / "expected" / f"{log.stem}.json"
    if not path.exists():
        return []
    return [_in_full(verdict) for verdict in json.loads(path.read_text(encoding="utf-8"))["verdicts"]]


def graded(python: Path, folder: Path) -> dict[Path, list[Short]]:
    """The short verdicts the command line gives on every log of a folder, none for a log it refuses."""
    command = [str(python), "-m", "standfast", "grade", "--format", "json"]
    command += ["--standard", str(folder), str(folder / "logs")]
    done = subprocess.run(command, capture_output=True, encoding="utf-8")
    if done.returncode not in (0, 1, 2) or not done.stdout:
        raise RuntimeError(f"{' '.join(command)} ended with {done.returncode}\n{done.stderr}")
    by_digest: dict[str, list[Short]] = {}
    for verdict in json.loads(done.stdout)["verdicts"]:
        by_digest.setdefault(verdict["log_digest"], []).append(_short(verdict))
    return {log: by_digest.get(sha256(log.read_bytes()).hexdigest(), []) for log in logs(folder)}


def outcomes(verdicts: list[Short]) -> str:
    return ", ".join(verdict["outcome"] for verdict in verdicts) or "none"


def _short(verdict: dict[str, Any]) -> Short:
    attempts = [attempt for event in verdict["events"] for attempt in event["attempts"]]
    reasons = [reason for part in (*attempts, verdict) for reason in part["reasons"]]
    return _in_full(
        {
            "candidate": verdict["candidate"],
            "outcome": verdict["outcome"],
            "decided_at": verdict["decided_at"],
            "reasons": [[reason["kind"], reason["path"], reason["at"], reason["entry"]] for reason in reasons],
            "remarks": [
                [remark["kind"], remark["entry"], *([remark["path"]] if remark["path"] else [])]
                for remark in verdict["remarks"]
            ],
            "owed": [owed["path"] for owed in verdict["owed"]],
        }
    )


def _in_full(short: Short) -> Short:
    """With every key there, the reasons in the order of their times, and every time as microseconds."""
    return {
        "remarks": [],
        "owed": [],
        **short,
        "decided_at": _microseconds(short["decided_at"]),
        "reasons": sorted(
            ([kind, path, _microseconds(at), entry] for kind, path, at, entry in short["reasons"]),
            key=lambda reason: -1 if reason[2] is None else reason[2],
        ),
    }


def _microseconds(clock: str | None) -> int | None:
    if clock is None:
        return None
    whole, _, decimals = clock.partition(".")
    seconds = 0
    for part in whole.split(":"):
        seconds = seconds * 60 + int(part)
    return seconds * 1_000_000 + int(decimals.ljust(6, "0"))
