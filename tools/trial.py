"""Long random trials, each a subcommand that reports its seed and counts and exits 1 when something is wrong.

    python tools/trial.py pairs --count 50000 --seed 1
    python tools/trial.py files --count 20000 --seed 1
    python tools/trial.py readings --count 50000 --seed 1
    python tools/trial.py tidy --count 10000 --seed 1
    python tools/trial.py plants --count 500 --seed 1
    python tools/trial.py enumerate --count 400 --seed 1
    python tools/trial.py doubts --count 1000 --seed 1
    python tools/trial.py kills --count 500 --seed 1
    python tools/trial.py flips --count 10000 --seed 1
    python tools/trial.py editions --count 5000 --seed 1
    python tools/trial.py small_editions --count 1000 --seed 1
    python tools/trial.py written --count 500 --seed 1
    python tools/trial.py rounds --count 1000 --seed 1
    python tools/trial.py untimed --count 1000 --seed 1
    python tools/trial.py bearing --count 5000 --seed 1
    python tools/trial.py entries_left --count 1000 --seed 1
    python tools/trial.py clauses --count 5000 --seed 1
    python tools/trial.py moves --count 5000 --seed 1
    python tools/trial.py mutants --module step

`pairs` makes random standards and logs and holds machine and definition against each other. `files` spoils rule
files and logs and runs the command line on them: each must end in a verdict or in errors with their places.
`readings` reads spoilt logs by the short way and the careful one: what the short way takes must be the same.
`tidy` prints random standards and reads them back, tidies them twice, and tidies them in another layout.
`plants` puts a mistake into a shipped standard: proof must report it. `enumerate` tries every log of small random
standards: proof must find what they show and nothing else.
`doubts` shifts every time of small logs by all that is within a doubt: the verdict must change exactly where it is
called a close call.
`kills` kills processes that add records: what was acknowledged must be there and whole. `flips` flips one bit of a
register, a log or a standard: recheck must find it.
`editions` alters random standards and holds what comparing says of both editions against logs; `written` alters
those that were written by hand, shipped or for the checks against the outside;
`small_editions` holds small ones, and how long the logs shown are, against every log. `rounds` does so with
rounds that entries name, `untimed` with standards that read no clock, and an automata library says which language
lies in which.
`bearing` leaves out of random standards what has no bearing on who is GO: nobody may pass or fail for it.
`entries_left` holds how many entries an edition needs at least to its GO against every way there that is found.
`clauses` alters random standards: each change must be told, none made up, and all mirrored the other way round.
`moves` replays the logs of random standards by learned moves: the verdicts must be those of the plain step.
`mutants` changes the machine and the replay in one place at a time: the quick examples must notice.
"""

import argparse
import gc
import sys
from importlib import import_module
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "engine"))

_TRIALS = {
    "pairs": ("trials.pairs", "disagree", 50_000),
    "files": ("trials.files", "spoil", 20_000),
    "readings": ("trials.readings", "hold", 50_000),
    "tidy": ("trials.tidy", "hold", 10_000),
    "plants": ("trials.planted", "plant", 500),
    "enumerate": ("trials.brute_force", "hold", 400),
    "doubts": ("trials.doubts", "hold", 1000),
    "kills": ("trials.kills", "hold", 500),
    "flips": ("trials.flips", "hold", 10_000),
    "editions": ("trials.editions", "hold", 5_000),
    "clauses": ("trials.clauses", "hold", 5_000),
    "small_editions": ("trials.editions", "hold_small", 1_000),
    "moves": ("trials.moves", "hold", 5_000),
    "written": ("trials.written", "hold", 500),
    "rounds": ("trials.rounds", "hold", 1_000),
    "untimed": ("trials.untimed", "hold", 1_000),
    "bearing": ("trials.bearing", "hold", 5_000),
    "entries_left": ("trials.entries_left", "hold", 1_000),
}
"""Of each trial the module, the function that holds it, and how many it tries unless told."""


_MADE_BETWEEN = 50_000
"""Objects that are made before the garbage among them is looked for, as in the command: comparing keeps most."""


def main() -> int:
    gc.set_threshold(_MADE_BETWEEN)
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    verbs = parser.add_subparsers(dest="verb", required=True)
    for name, (_, _, count) in _TRIALS.items():
        verb = verbs.add_parser(name)
        verb.add_argument("--count", type=int, default=count)
        verb.add_argument("--seed", type=int, default=1)
    verb = verbs.add_parser("mutants")
    verb.add_argument("--module", action="append", default=[], help="one module only, such as `step`")
    for verb in verbs.choices.values():
        verb.add_argument("--jobs", type=int, default=2)
    chosen = parser.parse_args()
    if chosen.verb == "mutants":
        return int(import_module("trials.mutants").hold(chosen.module, chosen.jobs))
    module, function, _ = _TRIALS[chosen.verb]
    return int(getattr(import_module(module), function)(chosen.count, chosen.seed, chosen.jobs))


if __name__ == "__main__":
    sys.exit(main())
