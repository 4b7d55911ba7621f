"""`python3 tools/demo.py`: the shipped standards and logs, graded before your eyes.

For each standard one verdict of every outcome its logs have, reasons in full, as the command line prints it; then
every log in one line, and whether its verdict is the one that is expected. Exit code 1 if one is not.
"""

import os
import subprocess
import sys
from pathlib import Path

from environment import ROOT, ready_to_run
from shipped import Listing, expected, folders, graded, logs, with_engine

ORDER = ("GO", "NO-GO", "UNFINISHED", "VOID")


def main() -> int:
    python = ready_to_run()
    results: dict[Path, list[Listing]] = {}
    for folder in folders(ROOT):
        results |= graded(python, folder)
        for log in chosen(results, folder):
            print(f"\n$ {as_typed(python, log)}\n", flush=True)
            command = [str(python), "-m", "standfast", "grade", str(log.relative_to(ROOT))]
            subprocess.run(command, cwd=ROOT, env=with_engine())
    return table(results)


def as_typed(python: Path, log: Path) -> str:
    """The command that grades the log, as a shell takes it in the checkout."""
    tool = python.relative_to(ROOT) if python.is_relative_to(ROOT) else python
    command = f"{tool} -m standfast grade {log.relative_to(ROOT)}"
    return f"set PYTHONPATH=engine&& {command}" if os.name == "nt" else f"PYTHONPATH=engine {command}"


def chosen(results: dict[Path, list[Listing]], folder: Path) -> list[Path]:
    """The first log of one candidate for each outcome the folder has."""
    first: dict[str, Path] = {}
    for log in logs(folder):
        if len(results[log]) == 1:
            first.setdefault(outcomes(results[log]), log)
    return [first[outcome] for outcome in ORDER if outcome in first]


def outcomes(verdicts: list[Listing]) -> str:
    return ", ".join(verdict["outcome"] for verdict in verdicts) or "none"


def table(results: dict[Path, list[Listing]]) -> int:
    """Prints a line for every log; the result is the exit code."""
    differ = 0
    print("\nEvery log, its verdict, and whether it is the expected one:\n")
    for log, verdicts in results.items():
        wanted = expected(log)
        same = bool(verdicts) and verdicts == wanted
        differ += not same
        says = "as expected" if same else f"DIFFERS: expected {outcomes(wanted)}"
        print(f"  {log.parent.parent.name:18} {log.stem:48} {outcomes(verdicts):16} {says}")
    print(f"\n{len(results)} logs, {differ} not as expected")
    return 1 if differ or not results else 0


def run() -> int:
    """`main`, whoever stops it or stops reading."""
    try:
        code = main()
        sys.stdout.flush()
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 141
    except KeyboardInterrupt:
        print("demo: stopped", file=sys.stderr)
        return 130
    return code


if __name__ == "__main__":
    sys.exit(run())
