"""The one command: `python3 tools/check.py` checks the whole project, on a machine with nothing but Python 3.11.

Every step runs, whatever the others found; the exit code is 1 if any failed. The tests come last and end with
their own closing line.
"""

import subprocess
import sys
import time

from environment import ROOT, ready_to_check

STEPS = {
    "format": ["ruff", "format", "--check", "."],
    "lint": ["ruff", "check", "."],
    "types": ["mypy"],
    "tests": ["pytest", "--quiet", "--numprocesses", "2"],
}


def main() -> int:
    python = ready_to_check()
    failed: list[str] = []
    for name, command in STEPS.items():
        last = name == list(STEPS)[-1]
        if last and failed:
            print(f"== failed before the tests: {', '.join(failed)}", flush=True)
        print(f"== {name}: {' '.join(command)}", flush=True)
        began = time.monotonic()
        done = subprocess.run([str(python), "-m", *command], cwd=ROOT)
        if done.returncode:
            failed.append(name)
        if not last:
            outcome = "failed" if done.returncode else "passed"
            print(f"== {name} {outcome} after {time.monotonic() - began:.1f} s", flush=True)
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
