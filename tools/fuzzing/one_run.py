"""One run of the fuzzer on one reader, in a process of its own: `one_run.py READER FINDS [libFuzzer's options]`.

What a reader breaks with, or computes too long on, is kept in the folder `FINDS`, the shortest of each place, and
the run goes on. Too much memory ends it, as does what is stuck below Python, and libFuzzer keeps that input.
"""

import signal
import sys
import traceback
from collections.abc import Callable
from hashlib import sha256
from pathlib import Path
from random import Random
from types import FrameType

import atheris

_TOOLS = Path(__file__).resolve().parents[1]
sys.path[:0] = [str(_TOOLS), str(_TOOLS.parent / "engine")]

with atheris.instrument_imports(include=["standfast"]):
    from trials.spoiling import spoilt

    from fuzzing.fresh import fresh
    from fuzzing.readers import READERS

_SECONDS = 5.0  # of its own computing for one input, whatever else the machine does
_INNERMOST = 3  # frames by which two finds are told apart


class _Hang(BaseException):
    """Time is up; not an error that anything would catch."""


def main() -> None:
    reader, finds, *options = sys.argv[1:]
    holding = READERS[reader]
    for data in (b"marks\n", b"# standard: boat_crew_entry\n"):
        holding(data)  # what is made once, such as the parser, is not the first input's
    signal.signal(signal.SIGPROF, _stop)

    def once(data: bytes) -> None:
        signal.setitimer(signal.ITIMER_PROF, _SECONDS)
        try:
            holding(data)
        except (Exception, _Hang) as error:
            signal.setitimer(signal.ITIMER_PROF, 0)
            _keep(Path(finds), reader, data, error)
        finally:
            signal.setitimer(signal.ITIMER_PROF, 0)

    atheris.Setup([sys.argv[0], *options], once, custom_mutator=_changing(reader))
    atheris.Fuzz()


def _stop(number: int, frame: FrameType | None) -> None:
    raise _Hang


def _changing(reader: str) -> Callable[[bytes, int, int], bytes]:
    """Changes bytes, or spoils what a person or a program would, or begins anew with something nearly sound."""

    def changed(data: bytes, longest: int, seed: int) -> bytes:
        rng = Random(seed)
        how = rng.random()
        if how < 0.4:
            return bytes(atheris.Mutate(data, longest))
        if how < 0.75:
            return spoilt(rng, data.decode("utf-8", "replace"))[:longest]
        return fresh(reader, rng)[:longest]

    return changed


def _keep(finds: Path, reader: str, data: bytes, error: BaseException) -> None:
    frames = traceback.extract_tb(error.__traceback__)[-_INNERMOST:]
    place = "/".join(f"{frame.name}:{frame.lineno}" for frame in frames)
    kind = str(error) if isinstance(error, AssertionError) else type(error).__name__
    stem = f"{reader}_{sha256(f'{place} {kind}'.encode()).hexdigest()[:12]}"
    kept = finds / f"{stem}.input"
    if kept.exists() and kept.stat().st_size <= len(data):
        return
    kept.write_bytes(data)
    (finds / f"{stem}.txt").write_text("".join(traceback.format_exception(error)), encoding="utf-8")


if __name__ == "__main__":
    main()
