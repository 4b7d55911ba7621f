"""`.venv/bin/python tools/shown_moves.py STANDARD [MARK]`: the moves learned from the logs beside a rule file.

Under `# where` stands what is in play there, under `# registers` what the registers are that a move reads or sets.
"""

import argparse
import re
from collections.abc import Iterator
from pathlib import Path

from demo_archive import patterns_of

from standfast.machine.parts import LIVE, Machine
from standfast.moves.layout import DUE
from standfast.moves.learned import Key, Learned, Moves
from standfast.moves.replayed import Replays
from standfast.moves.tree import source
from standfast.pipeline import Ready, load_standard
from standfast.source import Source


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("standard", type=Path, metavar="STANDARD")
    parser.add_argument("mark", nargs="?", metavar="MARK", help="one mark only")
    chosen = parser.parse_args()
    print("\n\n".join(shown(chosen.standard, chosen.mark)))
    return 0


def shown(path: Path, mark: str | None = None) -> Iterator[str]:
    """Each move that was learned, as Python."""
    standard, found = load_standard(Source(str(path), path.read_text(encoding="utf-8")))
    if standard is None:
        raise SystemExit(f"{path}: {found[0].message}")
    replays = Replays(Ready(standard).machine, plain=0)
    for log, _ in patterns_of(standard, path.parent / "logs"):
        replays.verdicts(log)
    for practice in replays.practices.values():
        if practice.learned is not None:
            for moves in practice.learned.positions.values():
                yield from (_shown(practice.learned, moves, key) for key in moves.trees if mark in (None, key))


def _shown(learned: Learned, moves: Moves, key: Key) -> str:
    machine, text = learned.machine, source(moves.trees[key], "more")
    live = [p.path for p in machine.places if moves.state.locations[p.index] in LIVE and p.event >= 0]
    names = {number: _name(machine, *register[:2]) for register, number in learned.layout.numbers.items()}
    names[DUE] = "the instant before which nothing falls due"
    used = sorted({int(number) for number in re.findall(r"r\[(\d+)\]", text)})
    registers = [f"#     r[{number}] {names[number]}" for number in used]
    what = key if isinstance(key, str) else " ".join(map(str, key))
    lines = [f"# {what}", f"# where {', '.join(live) or 'nothing is open'}", "# registers", *registers, text]
    return "\n".join(lines if registers else [*lines[:2], text])


def _name(machine: Machine, row: str, number: int) -> str:
    match row:
        case "counters":
            return f"count: {machine.counters[number].name}"
        case "clocks":
            return f"since when: {machine.clocks[number].name}"
        case "totals":
            return f"in millionths: {machine.totals[number].name}"
        case _:
            return f"{row} {number}"


if __name__ == "__main__":
    raise SystemExit(main())
