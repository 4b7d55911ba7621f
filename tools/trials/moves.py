"""Learned moves against the plain step, on several logs of each random standard.

The logs of a standard are replayed twice: the first time their moves are learned, the second time all are known,
and there are loops for the positions where entries stay.
"""

from collections import Counter
from collections.abc import Iterable
from random import Random

from plausible_corrections import corrected
from plausible_logs import AT_THE_LIMIT, random_log

from standfast.moves.replayed import Replays
from standfast.replay import replay
from standfast.report.documents import grade_document, written
from standfast.verdict import Verdict
from trials.pairs import Disagreement, first_difference, legal_standard
from trials.shares import found_in_shares

LOGS_A_STANDARD = 12
_SHARE = 50
_AT_A_LIMIT = 0.3
_CORRECTED = 0.1


def compare(seed: str, count: int) -> tuple[Counter[str], list[Disagreement]]:
    """Of so many standards; what was seen, and where the two differ."""
    seen: Counter[str] = Counter()
    wrong = []
    for number in range(count):
        rng = Random(f"{seed}/{number}")
        text, machine, _ = legal_standard(rng)
        logs = [
            random_log(rng, machine, off=AT_THE_LIMIT) if rng.random() < _AT_A_LIMIT else random_log(rng, machine)
            for _ in range(LOGS_A_STANDARD)
        ]
        logs = [corrected(rng, log, machine.standard) if rng.random() < _CORRECTED else log for log in logs]
        replays = Replays(machine, plain=0)
        for place, log in enumerate((*logs, *logs)):
            time_of = "learned" if place < len(logs) else "known"
            if place == len(logs):
                make_loops(replays)
            plainly, by_moves = replay(machine, log), replays.verdicts(log)
            seen.update(f"{verdict.outcome.value}, {time_of}" for verdict in plainly)
            if plainly != by_moves or _bytes(plainly) != _bytes(by_moves):
                difference = first_difference(plainly, by_moves)
                wrong.append(Disagreement(f"seed {seed}, standard {number}, {time_of}", text, log, difference))
        for practice in replays.practices.values():
            if practice.learned is not None:
                seen["positions"] += len(practice.learned.positions)
                seen["branches learned"] += practice.learned.branches
        seen["runs made plainly"] += sum(practice.plainly for practice in replays.practices.values())
    return seen, wrong


def make_loops(replays: Replays) -> None:
    """Of all that was learned so far, as after many logs."""
    for practice in replays.practices.values():
        if practice.learned is not None:
            practice.learned.make_loops()


def _bytes(verdicts: Iterable[Verdict]) -> str:
    return written(grade_document(verdicts, [], [], []))


def hold(count: int, seed: int, jobs: int) -> int:
    """Prints what was found; the result is the exit code."""
    seen, wrong = found_in_shares("standards", "disagreements", compare, _SHARE, count, seed, jobs)
    return 1 if wrong or seen["runs made plainly"] else 0
