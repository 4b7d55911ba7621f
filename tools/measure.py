"""The bench: everything side by side in one run, taken in turn, as medians of ratios.

    .venv/bin/python tools/measure.py                    # the table, in Markdown
    .venv/bin/python tools/measure.py graders --rounds 5 # a part of it
    .venv/bin/python tools/measure.py --guard            # exits with 1 if a kept ratio has become worse
    .venv/bin/python tools/measure.py --keep 3           # keeps the ratios of three runs of this code

The libraries that it is held against are installed with `pip install -r tools/bench/requirements.txt`; without
them their rows are left out.
"""

import argparse
import json
import sys
from collections.abc import Callable, Sequence
from pathlib import Path

from attrs import asdict
from bench import archive, commands, compare, graders, growth, size
from bench.guard import Kept, kept_from, missing, worse
from bench.rows import Row, document, table
from bench.section import Section
from bench.taking import take

SECTIONS: dict[str, Callable[[], Section]] = {
    "graders": graders.section,
    "growth": growth.section,
    "size": size.section,
    "commands": commands.section,
    "archive": archive.section,
    "compare": compare.section,
}
KEPT = Path(__file__).resolve().parent / "bench" / "kept.json"


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("sections", nargs="*", metavar="SECTION", help=f"of {', '.join(SECTIONS)}; default: all")
    parser.add_argument("--rounds", type=int, default=9, help="how often all is taken in turn; default: 9")
    parser.add_argument("--json", type=Path, metavar="FILE", help="write the rows as JSON too")
    parser.add_argument("--guard", action="store_true", help="hold the ratios against those that are kept")
    parser.add_argument("--keep", type=int, metavar="RUNS", help="keep the ratios of so many runs")
    chosen = parser.parse_args()
    unknown = [name for name in chosen.sections if name not in SECTIONS]
    if unknown:
        parser.error(f"there is no section `{unknown[0]}`; there are {', '.join(SECTIONS)}")
    runs = [measured(chosen.sections or list(SECTIONS), chosen.rounds) for _ in range(chosen.keep or 1)]
    rows = runs[-1]
    sys.stdout.write(table(rows))
    if chosen.json is not None:
        chosen.json.write_text(json.dumps(document(rows), indent=1) + "\n", encoding="utf-8")
    if chosen.keep:
        keep(runs)
    return guarded(rows, chosen.sections) if chosen.guard else 0


def measured(names: Sequence[str], rounds: int) -> list[Row]:
    """The rows of these sections, of one run in which all their jobs are taken in turn."""
    sections = [SECTIONS[name]() for name in names]
    jobs = {name: job for section in sections for name, job in section.jobs.items()}
    times = take(jobs, rounds, _told)
    sys.stderr.write("\r\x1b[K" if sys.stderr.isatty() else "")
    return [row for section in sections for row in section.rows(times)]


def _told(what: str) -> None:
    if sys.stderr.isatty():
        sys.stderr.write(f"\r\x1b[K{what}")
        sys.stderr.flush()


def keep(runs: Sequence[Sequence[Row]]) -> None:
    """Beside what is kept of other sections."""
    before = json.loads(KEPT.read_text(encoding="utf-8")) if KEPT.exists() else {}
    now = {name: asdict(one) for name, one in kept_from(runs).items()}
    KEPT.write_text(json.dumps({**before, **now}, indent=1, sort_keys=True) + "\n", encoding="utf-8")


def guarded(rows: Sequence[Row], sections: Sequence[str]) -> int:
    kept = {name: Kept(**one) for name, one in json.loads(KEPT.read_text(encoding="utf-8")).items()}
    found = worse(rows, kept)
    for each in found:
        print(f"worse: {each}", file=sys.stderr)
    for name in () if sections else missing(rows, kept):
        print(f"not measured: {name}", file=sys.stderr)
    return 1 if found else 0


if __name__ == "__main__":
    sys.exit(main())
