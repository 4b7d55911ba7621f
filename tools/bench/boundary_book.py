"""How long a boundary book takes: `.venv/bin/python tools/bench/boundary_book.py`. Medians, taken in turn.

Of every shipped standard the whole book, and of the largest what it is made of, as ratios of medians taken side by
side: exploring its events, and grading the finished logs once more by each of the two programs.
"""

import sys
import time
from collections.abc import Callable
from functools import partial
from pathlib import Path
from statistics import median

from standfast.definition import judge
from standfast.machine.compile import compile_standard
from standfast.model.standard import Standard
from standfast.pipeline import load_standard
from standfast.proofing.book import Book
from standfast.proofing.boundary import boundary_book
from standfast.proofing.survey import surveyed
from standfast.replay import replay
from standfast.source import Source

ROOT = Path(__file__).resolve().parents[2]
ROUNDS = 5
LIMIT = 10  # seconds that the largest may take


def shipped() -> list[Standard]:
    found = []
    for path in sorted((ROOT / "standards").rglob("*.standard")):
        standard, diagnostics = load_standard(Source(path.name, path.read_text(encoding="utf-8")))
        assert standard is not None, diagnostics
        found.append(standard)
    return found


def replayed(book: Book) -> None:
    machine = compile_standard(book.standard)
    for page in book.pages:
        replay(machine, page.log)


def judged(book: Book) -> None:
    for page in book.pages:
        judge(book.standard, page.log)


def main() -> int:
    books = {f"{s.name} {s.edition}": boundary_book(s) for s in shipped()}
    largest = max(books, key=lambda name: sum(1 for _ in books[name].standard.rules()))
    standard = books[largest].standard
    jobs: dict[str, Callable[[], object]] = {
        name: partial(boundary_book, book.standard) for name, book in books.items()
    }
    jobs |= {
        "exploring": partial(surveyed, standard),
        "replaying": partial(replayed, books[largest]),
        "definition": partial(judged, books[largest]),
    }
    times: dict[str, list[float]] = {name: [] for name in jobs}
    for _ in range(ROUNDS):
        for name, job in jobs.items():
            began = time.perf_counter()
            job()
            times[name].append(time.perf_counter() - began)
    middle = {name: median(taken) for name, taken in times.items()}
    for name, book in books.items():
        print(f"{name:28} {len(book.pages):4} logs {middle[name]:8.3f} s")
    print(f"of {largest}, the largest")
    for name in ("exploring", "replaying", "definition"):
        print(f"  {name:12} {middle[name]:8.3f} s  {middle[name] / middle[largest]:.2f} of the whole")
    print(f"  {middle[largest]:.1f} s of {LIMIT} s")
    return 0 if middle[largest] < LIMIT else 1


if __name__ == "__main__":
    sys.exit(main())
