"""`python3 tools/accept.py [LOG ...]`: shows where verdicts are not those expected, or accepts them.

Without logs, every log whose verdicts differ from what is written down, and both; exit code 1 if there is one.
With logs, the verdicts of those are written down as what is expected from now on.
"""

import argparse
import json
import sys
from pathlib import Path

from environment import ROOT, ready_to_run
from shipped import Listing, expected, expected_file, folders, graded


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("logs", nargs="*", type=Path, metavar="LOG", help="a log whose verdicts are accepted")
    accepted = {log.resolve() for log in parser.parse_args().logs}
    python = ready_to_run()
    found: dict[Path, list[Listing]] = {}
    for folder in (*folders(ROOT), ROOT / "tests" / "practitioner"):
        found |= graded(python, folder)
    if strange := accepted - found.keys():
        parser.error(f"not a log with expected verdicts: {', '.join(map(str, sorted(strange)))}")
    if refused := [log for log in accepted if not found[log]]:
        parser.error(f"logs that are refused have no verdict to accept: {', '.join(map(str, refused))}")
    for log in sorted(accepted):
        expected_file(log).write_text(text_of(found[log]), encoding="utf-8")
        print(f"accepted: {log.relative_to(ROOT)}")
    differing = [log for log in found if found[log] != expected(log)]
    if not accepted:
        for log in differing:
            print(f"{log.relative_to(ROOT)}\n  expected\n{text_of(expected(log))}  found\n{text_of(found[log])}")
    print(f"{len(found)} logs, {len(differing)} not as expected")
    return 1 if differing else 0


def text_of(listings: list[Listing]) -> str:
    """As the files have it: a line for each key, reason and remark."""
    verdicts = []
    for listing in listings:
        keys = [f'      "{key}": {_value(key, value)}' for key, value in listing.items()]
        verdicts.append("    {\n" + ",\n".join(keys) + "\n    }")
    return '{\n  "verdicts": [\n' + ",\n".join(verdicts) + "\n  ]\n}\n"


def _value(key: str, value: object) -> str:
    if not value or not isinstance(value, list) or key == "owed":
        return json.dumps(value, ensure_ascii=False)
    return "[\n" + ",\n".join(f"        {json.dumps(row, ensure_ascii=False)}" for row in value) + "\n      ]"


if __name__ == "__main__":
    sys.exit(main())
