"""A bad and a good standard for each kind of finding, as an author is shown them."""

import re
from importlib.resources import files

from standfast.values import frozen

POINTER = "# <-"
"""Stands, with the codes, beside each line of a bad sample at which something is found."""


@frozen
class Sample:
    """A whole small standard: a bad one has the finding, a good one says the same thing without it."""

    code: str
    bad: bool
    text: str

    def pointed(self) -> dict[int, set[str]]:
        """The codes that are to be found, by line."""
        lines = enumerate(self.text.splitlines(), start=1)
        return {
            number: set(re.findall(r"[A-Z]\d{3}", line.partition(POINTER)[2]))
            for number, line in lines
            if POINTER in line
        }


def samples(code: str) -> tuple[Sample, ...]:
    """The bad one and the good one; nothing for a code of a finding that needs no example."""
    folder = files("standfast.proofing").joinpath("samples")
    found = []
    for kind in ("bad", "good"):
        file = folder.joinpath(f"{code}.{kind}.standard")
        if file.is_file():
            found.append(Sample(code, kind == "bad", file.read_text(encoding="utf-8")))
    return tuple(found)
