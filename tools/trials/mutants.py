"""Does the quick corpus notice? Every mutant of the machine and the replay is held against it.

A mutant runs in a process of its own, into which the changed source is loaded through an import hook; the
checkout is never written to. It is caught when a verdict or a case differs, when it breaks down, and when it takes
too long. Those that nothing can show are listed, each with its reason, in `equivalent_mutants.txt`.
"""

import gc
import os
import resource
import signal
import sys
import time
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from enum import Enum
from importlib import import_module
from importlib.abc import Loader, MetaPathFinder
from importlib.machinery import ModuleSpec
from multiprocessing import get_context
from pathlib import Path
from types import CodeType, ModuleType

from attrs import define, field, frozen

from trials.corpus import Engine, Example, corpus
from trials.mutation import Mutant, mutants

MUTATED = (
    "standfast.machine.compile",
    "standfast.machine.registers",
    "standfast.machine.course",
    "standfast.machine.step",
    "standfast.account",
    "standfast.replay",
)
_RELOADED = (*MUTATED, "standfast.proofing.cases")
_LISTED = Path(__file__).resolve().parents[1] / "equivalent_mutants.txt"
_SECONDS = 2.0  # of its own computing
_BYTES = 2 << 30
_BROKE_DOWN = 255


class Fate(Enum):
    DIFFERS = "a verdict differs"
    BREAKS = "breaks down"
    HANGS = "takes too long"
    SURVIVES = "not caught"


@define
class _Hook(MetaPathFinder, Loader):
    """Loads one module from code that is given."""

    module: str
    code: CodeType

    def find_spec(self, name: str, path: object, target: object = None) -> ModuleSpec | None:
        return ModuleSpec(name, self) if name == self.module else None

    def exec_module(self, module: ModuleType) -> None:
        exec(self.code, module.__dict__)


def _engine(module: str, code: CodeType) -> Engine:
    """The engine as it is with one module's code changed."""
    sys.meta_path.insert(0, _Hook(module, code))
    for name in _RELOADED:
        sys.modules.pop(name, None)
    return _loaded()


def _loaded() -> Engine:
    return Engine(
        import_module("standfast.machine.compile").compile_standard,
        import_module("standfast.replay").replay,
        import_module("standfast.proofing.cases").case_findings,
    )


@define
class _Trial:
    """The mutants and the examples; those that caught a mutant of late are tried first."""

    trials: Sequence[tuple[Mutant, CodeType]]
    examples: Sequence[Example]
    order: list[int] = field(init=False)

    def __attrs_post_init__(self) -> None:
        self.order = list(range(len(self.examples)))

    def fate(self, number: int) -> tuple[int, Fate, str]:
        """What becomes of one mutant, and the example that told."""
        mutant, code = self.trials[number]
        told, tell = os.pipe()
        child = os.fork()
        if child == 0:
            os.close(told)
            self._run(mutant, code, tell)
        os.close(tell)
        with os.fdopen(told, "rb") as pipe:
            said = pipe.read()
        _, status = os.waitpid(child, 0)
        if os.WIFSIGNALED(status):
            return number, Fate.HANGS, ""
        if os.WEXITSTATUS(status) == _BROKE_DOWN:
            return number, Fate.BREAKS, ""
        if not said:
            return number, Fate.SURVIVES, ""
        example = int(said)
        self.order.remove(example)
        self.order.insert(0, example)
        return number, Fate.DIFFERS, self.examples[example].name

    def _run(self, mutant: Mutant, code: CodeType, tell: int) -> None:
        """In a process of its own, which ends here."""
        signal.setitimer(signal.ITIMER_PROF, _SECONDS)
        resource.setrlimit(resource.RLIMIT_AS, (_BYTES, _BYTES))
        status = _BROKE_DOWN
        try:
            engine = _engine(mutant.module, code)
            for number in self.order:
                if engine.differs(self.examples[number]):
                    os.write(tell, str(number).encode())
                    break
            status = 0
        finally:
            os._exit(status)


_trial: _Trial


def _fate(number: int) -> tuple[int, Fate, str]:
    return _trial.fate(number)


@frozen
class Listed:
    """A mutant that no verdict can show, with the reason."""

    key: tuple[str, str, str, str]
    about: str
    reason: str


def listed() -> Iterator[Listed]:
    """Blocks of four lines, with empty lines between: module and function, source, change, `about: reason`."""
    for block in _LISTED.read_text(encoding="utf-8").split("\n\n"):
        lines = [line.strip() for line in block.splitlines() if not line.startswith("#")]
        if lines:
            place, source, change, why = lines
            module, _, function = place.partition(" ")
            about, _, reason = why.partition(": ")
            yield Listed((module, function, source, change), about, reason)


def _key(mutant: Mutant) -> tuple[str, str, str, str]:
    return mutant.module.removeprefix("standfast."), mutant.function, mutant.source, mutant.change


def hold(modules: Iterable[str], jobs: int) -> int:
    """Prints what was found; the exit code is 1 if a mutant is neither caught nor listed, or listed and caught."""
    global _trial
    started = time.monotonic()
    wanted = [name for name in MUTATED if not modules or name.rpartition(".")[2] in modules]
    _trial = _Trial([each for name in wanted for each in mutants(name)], corpus())
    engine = _loaded()
    wrong = [each.name for each in _trial.examples if engine.differs(each)]
    if wrong:
        print(f"without any mutant these differ: {', '.join(wrong)}")
        return 1
    print(f"{len(_trial.trials)} mutants, {len(_trial.examples)} examples, {time.monotonic() - started:.0f} s")
    gc.freeze()
    fates = {}
    with get_context("fork").Pool(jobs) as pool:
        for number, fate, _ in pool.imap_unordered(_fate, range(len(_trial.trials))):
            fates[number] = fate
    return _report(wanted, fates, started)


def _report(modules: Iterable[str], fates: dict[int, Fate], started: float) -> int:
    known = {each.key: each for each in listed()}
    unused = {key for key in known if f"standfast.{key[0]}" in modules}
    told = Counter(fates.values())
    survivors, by_kind = [], Counter[str]()
    for number, fate in sorted(fates.items()):
        mutant = _trial.trials[number][0]
        if fate is Fate.SURVIVES:
            each = known.get(_key(mutant))
            if each is None:
                survivors.append(mutant)
            else:
                unused.discard(each.key)
                by_kind[each.about] += 1
    for mutant in survivors:
        print(mutant)
    for key in sorted(unused):
        print(f"listed, and caught or gone: {' | '.join(key)}")
    caught = len(fates) - told[Fate.SURVIVES]
    share = caught * 100 / (caught + len(survivors)) if fates else 0
    print(f"{len(fates)} mutants, {time.monotonic() - started:.0f} s")
    for fate in Fate:
        print(f"    {fate.value}: {told[fate]}")
    for about, count in sorted(by_kind.items()):
        print(f"        listed as {about}: {count}")
    print(f"caught, of those not listed: {share:.1f} %")
    return 1 if survivors or unused else 0
