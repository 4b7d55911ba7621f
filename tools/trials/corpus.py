"""The quick corpus: pairs of standard and log with the definition's verdicts, and worked cases.

It is what the machine is held against where seconds count: in `tests/quick` and once for each mutant. The shipped
logs and the practitioner's come with the outcomes that people wrote beside them.
"""

from collections.abc import Callable, Iterator
from pathlib import Path

from attrs import field, frozen
from shipped import expected, folders, logs

from standfast.command.shelf import Shelf, shelf
from standfast.definition import judge
from standfast.diagnostic import Diagnostic, has_errors
from standfast.log.bind import bind
from standfast.log.entry import SessionLog
from standfast.log.reader import read_log
from standfast.machine.parts import Machine
from standfast.model.standard import Case, Standard
from standfast.pipeline import load_standard
from standfast.source import Source
from standfast.verdict import Verdict
from trials.pairs import pairs

ROOT = Path(__file__).resolve().parents[2]
QUICK = ROOT / "tests" / "quick"
SEEDS = ("quick 1", "quick 2")
PAIRS_A_SEED = 200


@frozen
class Pair:
    """A standard, a log, and the definition's verdicts on it."""

    name: str
    standard: Standard
    log: SessionLog
    verdicts: tuple[Verdict, ...]


@frozen
class Worked:
    """One `case` of a standard, with what it gives."""

    name: str
    standard: Standard
    case: Case


Example = Pair | Worked


@frozen
class Engine:
    """The functions under trial."""

    compile_standard: Callable[[Standard], Machine]
    replay: Callable[[Machine, SessionLog], tuple[Verdict, ...]]
    case_findings: Callable[[Standard, Case], tuple[Diagnostic, ...]]
    _machines: dict[int, Machine] = field(factory=dict, init=False)

    def differs(self, example: Example) -> bool:
        """Whether the example shows this engine to be wrong."""
        if isinstance(example, Worked):
            return self.case_findings(example.standard, example.case) != ()
        return self.replay(self._machine(example.standard), example.log) != example.verdicts

    def _machine(self, standard: Standard) -> Machine:
        """Compiled once; the examples keep their standards alive, so that an id is one standard's."""
        if id(standard) not in self._machines:
            self._machines[id(standard)] = self.compile_standard(standard)
        return self._machines[id(standard)]


def corpus() -> list[Example]:
    """Everything, the cheap and telling first."""
    return [*worked_cases(), *written_logs(), *random_pairs()]


def worked_cases() -> Iterator[Worked]:
    """Those of the shipped standards, of the practitioner's, and of the rule files beside the quick tests."""
    for folder in (QUICK, *_written()):
        for path in sorted(folder.glob("*.standard")):
            standard, found = load_standard(Source(path.name, path.read_text(encoding="utf-8")))
            if standard is None:
                raise ValueError(f"{path}: {found[0].message}")
            for case in standard.cases:
                yield Worked(f"{path.stem}: {case.title}", standard, case)


def written_logs() -> Iterator[Pair]:
    """The shipped logs and the practitioner's, those that are refused left out."""
    for folder in _written():
        standards = shelf([str(folder)])
        for path in logs(folder):
            outcomes = [verdict["outcome"] for verdict in expected(path)]
            pair = _written_log(path, standards)
            found = [] if pair is None else [verdict.outcome.value for verdict in pair.verdicts]
            if found != outcomes:
                raise ValueError(f"{path}: {outcomes} expected, {found} found")
            if pair is not None:
                yield pair


def random_pairs() -> Iterator[Pair]:
    for seed in SEEDS:
        for number, (_, machine, log, _) in enumerate(pairs(seed, PAIRS_A_SEED)):
            standard = machine.standard
            yield Pair(f"seed {seed}, pair {number}", standard, log, judge(standard, log))


def _written() -> list[Path]:
    return [*folders(ROOT), ROOT / "tests" / "practitioner"]


def _written_log(path: Path, standards: Shelf) -> Pair | None:
    raw, found = read_log(path.name, path.read_bytes())
    if raw is None or has_errors(found):
        return None
    standard, _ = standards.find(raw.header)
    if standard is None:
        return None
    log, found = bind(raw, standard)
    if log is None or has_errors(found):
        return None
    return Pair(str(path.relative_to(ROOT)), standard, log, judge(standard, log))
