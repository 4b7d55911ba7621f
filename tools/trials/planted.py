"""Proof held against mistakes planted in the shipped standards: it must report every one of them."""

import time
from collections import Counter
from collections.abc import Iterable
from multiprocessing import Pool
from random import Random

from attrs import frozen

from trials.manuscript import SHIPPED, Found, Manuscript, findings, untouched
from trials.planting import PLANTERS, WHOLE

_SHARE = 10


@frozen
class Plant:
    """A planted mistake, what it must give (a code or how it begins; a line, or None: any), and what it gave."""

    kind: str
    name: str
    text: str
    code: str
    number: int | None
    words: str | None
    found: tuple[Found, ...]

    @property
    def reported(self) -> bool:
        """Whether a finding of the code is there that is not one of the untouched standard."""
        before = {(each.code, each.words) for each in untouched(self.name, PLANTERS[self.kind] in WHOLE)}
        return any(
            each.code.startswith(self.code)
            and each.number == (self.number or each.number)
            and (each.code, each.words) not in before
            for each in self.found
        )

    def __str__(self) -> str:
        found = "\n".join(map(str, self.found))
        return f"--- {self.kind}: {self.code} at line {self.number}: {self.words}\n{self.text}\n{found}\n"


def planted(seed: str, names: Iterable[str] = tuple(SHIPPED), kinds: Iterable[str] = tuple(PLANTERS)) -> Plant:
    """One mistake of a random kind in a random standard that has a place for it."""
    rng = Random(seed)
    kind = rng.choice(list(kinds))
    planter = PLANTERS[kind]
    for name in rng.sample(list(names), len(list(names))):
        for _ in range(10):
            sheet = Manuscript(name, planter in WHOLE)
            mistake = planter(sheet, rng)
            if mistake is None:
                continue
            code, line = mistake
            number = None if line is None else sheet.lines.index(line) + 1
            words = None if line is None else line.words
            return Plant(kind, name, sheet.text, code, number, words, findings(name, sheet.text))
    raise LookupError(f"no place for {kind}")


def _share(job: tuple[int, int, int]) -> list[Plant]:
    seed, first, count = job
    return [planted(f"seed {seed}, plant {number}") for number in range(first, first + count)]


def plant(count: int, seed: int, jobs: int) -> int:
    """Prints the table of kinds; the result is the exit code."""
    started = time.monotonic()
    plants: list[Plant] = []
    with Pool(jobs) as pool:
        work = [(seed, first, min(_SHARE, count - first)) for first in range(0, count, _SHARE)]
        for share in pool.imap_unordered(_share, work):
            plants += share
    missed = [each for each in plants if not each.reported]
    for each in missed[:5]:
        print(each)
    told, lost = Counter(each.kind for each in plants), Counter(each.kind for each in missed)
    print(f"{'kind':36} planted reported missed")
    for kind in PLANTERS:
        print(f"{kind:36} {told[kind]:7} {told[kind] - lost[kind]:8} {lost[kind]:6}")
    print(f"{'all':36} {len(plants):7} {len(plants) - len(missed):8} {len(missed):6}")
    clean = True
    for name in SHIPPED:
        told_of = untouched(name, True)
        clean = clean and not told_of
        print(f"{name} untouched: {', '.join(map(str, told_of)) or 'nothing unaccepted'}")
    different = len({(each.name, each.text) for each in plants})
    print(f"plants: {count}, {different} different, seed {seed}, {time.monotonic() - started:.0f} s")
    return 1 if missed or not clean else 0
