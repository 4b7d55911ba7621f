"""Fuzzes the readers, guided by coverage: no crash, no hang, memory bounded, and nothing read wrongly.

    python tools/fuzz.py run logs --minutes 20
    python tools/fuzz.py run tables --minutes 20
    python tools/fuzz.py run rosters --minutes 20
    python tools/fuzz.py run rules --minutes 20
    python tools/fuzz.py one rules FILE
    python tools/fuzz.py distil rules FOLDER

The readers: `logs` of JSON Lines and `tables` of cells are read, understood by their standard, written and read
again; `rosters` are read, their sheets printed and read; `rules` are read, resolved, printed and read again. `run`
starts from the shipped files, those of the tests and the inputs it has kept in its folder. `one` holds a reader to
one file. `distil` keeps in `tests/fuzz`, of the inputs there and in a folder, the few that cover most of what all
do.

`run` needs the fuzzer: `pip install .[fuzzing]`, on Linux, with a Python it has a wheel for.
"""

import argparse
import os
import subprocess
import sys
import time
from hashlib import sha256
from importlib.util import find_spec
from pathlib import Path

_TOOLS = Path(__file__).resolve().parent
sys.path.insert(0, str(_TOOLS.parent / "engine"))

_SECONDS = 300  # by the clock on the wall for one input; of its own computing it has far less
_MEGABYTES = 1024
_ENDS = (0, 70, 71, 77)  # libFuzzer's: the time was up, a hang, too much memory, a crash below Python
_READERS = ("logs", "tables", "rosters", "rules")


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    verbs = parser.add_subparsers(dest="verb", required=True)
    run, one, distil = (verbs.add_parser(name) for name in ("run", "one", "distil"))
    for verb in (run, one, distil):
        verb.add_argument("reader", choices=_READERS)
    run.add_argument("--minutes", type=float, default=20)
    run.add_argument("--folder", type=Path, help="for inputs and finds; unless told, fuzz_READER here")
    one.add_argument("file", type=Path)
    distil.add_argument("folder", type=Path)
    distil.add_argument("--most", type=int, default=20)
    chosen = parser.parse_args()
    if chosen.verb == "run":
        return _run(chosen.reader, chosen.minutes, chosen.folder or Path(f"fuzz_{chosen.reader}"))
    if chosen.verb == "one":
        return _one(chosen.reader, chosen.file)
    return _distil(chosen.reader, chosen.folder, chosen.most)


def _run(reader: str, minutes: float, folder: Path) -> int:
    """Until the time is up, again after each input that ended a run; the result is the exit code."""
    if find_spec("atheris") is None:
        print("the fuzzer is not installed here: `pip install .[fuzzing]`, best in an environment of its own")
        return 2
    from fuzzing.seeds import LARGEST, dictionary, seeds

    inputs, finds, start = (folder / name for name in ("inputs", "finds", "seeds"))
    for each in (inputs, finds, start):
        each.mkdir(parents=True, exist_ok=True)
    for number, data in enumerate(seeds(reader)):
        (start / f"{number:04}").write_bytes(data)
    words = folder / "words"
    words.write_text("".join(f'"{_escaped(word)}"\n' for word in dictionary(reader)), encoding="ascii")
    options = [f"-timeout={_SECONDS}", f"-rss_limit_mb={_MEGABYTES}", f"-max_len={LARGEST}", f"-dict={words}"]
    options += [f"-artifact_prefix={finds}/{reader}_", "-print_final_stats=1", f"-report_slow_units={_SECONDS}"]
    until = time.monotonic() + minutes * 60
    runs = 0
    while (left := int(until - time.monotonic())) > 0:
        runs += 1
        command = [sys.executable, str(_TOOLS / "fuzzing" / "one_run.py"), reader, str(finds)]
        command += [*options, f"-max_total_time={left}", str(inputs), str(start)]
        with (folder / f"run_{runs}.txt").open("wb") as log:
            ended = subprocess.run(command, stdout=log, stderr=log, env={**os.environ, "PYTHONUTF8": "1"})
        if ended.returncode not in _ENDS:
            print(f"the fuzzer did not run, see {folder / f'run_{runs}.txt'}")
            return 2
    found = sorted(path for path in finds.iterdir() if path.suffix != ".txt")
    print(f"{reader}: {minutes:g} min, {runs} runs, {len(list(inputs.iterdir()))} inputs kept, {len(found)} finds")
    print("".join(f"    {path}\n" for path in found), end="")
    return 1 if found else 0


def _one(reader: str, file: Path) -> int:
    from fuzzing.readers import READERS

    data = file.read_bytes()
    started = time.process_time()
    READERS[reader](data)
    print(f"{file}: {len(data)} bytes, {time.process_time() - started:.2f} s")
    return 0


def _distil(reader: str, folder: Path, most: int) -> int:
    from fuzzing.distilling import distilled
    from fuzzing.readers import READERS, ROOT
    from fuzzing.seeds import LARGEST

    kept = ROOT / "tests" / "fuzz" / reader
    kept.mkdir(parents=True, exist_ok=True)
    paths = sorted((*kept.iterdir(), *folder.iterdir()))
    inputs = {path: path.read_bytes() for path in paths if path.stat().st_size <= LARGEST}
    chosen, covered, whole = distilled(inputs, READERS[reader], most)
    for path in kept.iterdir():
        path.unlink()
    for path in chosen:
        (kept / f"{sha256(inputs[path]).hexdigest()[:12]}.input").write_bytes(inputs[path])
    print(f"{reader}: {len(chosen)} of {len(inputs)} inputs take {covered} of {whole} steps from line to line")
    return 0


def _escaped(word: str) -> str:
    """As libFuzzer reads its dictionary."""
    return "".join(
        chr(byte) if 32 <= byte < 127 and byte not in b'"\\' else f"\\x{byte:02X}" for byte in word.encode()
    )


if __name__ == "__main__":
    sys.exit(main())
