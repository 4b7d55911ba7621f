"""Long random trials, each a subcommand that reports its seed and counts and exits 1 when something is wrong.

    python tools/trial.py pairs --count 50000 --seed 1
    python tools/trial.py files --count 20000 --seed 1
    python tools/trial.py tidy --count 10000 --seed 1
    python tools/trial.py plants --count 500 --seed 1
    python tools/trial.py enumerate --count 400 --seed 1
    python tools/trial.py mutants --module step

`pairs` makes random standards and logs and holds machine and definition against each other. `files` spoils rule
files and logs and runs the command line on them: each must end in a verdict or in errors with their places.
`tidy` prints random standards and reads them back, tidies them twice, and tidies them in another layout.
`plants` puts a mistake into a shipped standard: proof must report it. `enumerate` tries every log of small random
standards: proof must find what they show and nothing else.
`mutants` changes the machine and the replay in one place at a time: the quick examples must notice.
"""

import argparse
import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "engine"))


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    verbs = parser.add_subparsers(dest="verb", required=True)
    counts = {"pairs": 50_000, "files": 20_000, "tidy": 10_000, "plants": 500, "enumerate": 400}
    for name, count in counts.items():
        verb = verbs.add_parser(name)
        verb.add_argument("--count", type=int, default=count)
        verb.add_argument("--seed", type=int, default=1)
    verb = verbs.add_parser("mutants")
    verb.add_argument("--module", action="append", default=[], help="one module only, such as `step`")
    for verb in verbs.choices.values():
        verb.add_argument("--jobs", type=int, default=2)
    chosen = parser.parse_args()
    if chosen.verb == "mutants":
        from trials.mutants import hold

        return hold(chosen.module, chosen.jobs)
    if chosen.verb == "files":
        from trials.files import spoil

        return spoil(chosen.count, chosen.seed, chosen.jobs)
    if chosen.verb == "tidy":
        from trials.tidy import hold as tidied

        return tidied(chosen.count, chosen.seed, chosen.jobs)
    if chosen.verb == "plants":
        from trials.planted import plant

        return plant(chosen.count, chosen.seed, chosen.jobs)
    if chosen.verb == "enumerate":
        from trials.brute_force import hold as enumerated

        return enumerated(chosen.count, chosen.seed, chosen.jobs)
    from trials.pairs import disagree

    return disagree(chosen.count, chosen.seed, chosen.jobs)


if __name__ == "__main__":
    sys.exit(main())
