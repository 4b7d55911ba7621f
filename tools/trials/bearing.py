"""What bears on who is GO, by itself, against the whole standard, on several logs of each random standard."""

from collections import Counter
from random import Random

from plausible_logs import AT_THE_LIMIT, random_log

from standfast.difference.bearing import bearing
from standfast.machine.compile import compile_standard
from standfast.model.candidate import specialised
from standfast.replay import replay
from standfast.verdict import Outcome
from trials import shares
from trials.pairs import Disagreement, legal_standard
from trials.small import small_standard

_LOGS = 60
_SHARE = 50
_SMALL = 0.3


def held(seed: str, count: int) -> tuple[Counter[str], list[Disagreement]]:
    """Of so many standards; what was seen, and where the two differ."""
    seen: Counter[str] = Counter()
    wrong = []
    for number in range(count):
        rng = Random(f"{seed}/{number}")
        if rng.random() < _SMALL:
            text, standard = small_standard(rng)
        else:
            text, machine, _ = legal_standard(rng)
            standard = machine.standard
        whole = compile_standard(standard)
        for place in range(_LOGS):
            log = random_log(rng, whole, off=AT_THE_LIMIT) if place % 2 else random_log(rng, whole)
            for verdict in replay(whole, log):
                if verdict.outcome is Outcome.VOID:
                    continue
                read = specialised(standard, log.facts.get(verdict.candidate, {})) if standard.facts else standard
                part = bearing(read)
                if part == read:
                    seen["nothing left out"] += 1
                    continue
                by_part = next(
                    each for each in replay(compile_standard(part), log) if each.candidate == verdict.candidate
                )
                seen[verdict.outcome.value] += 1
                if (verdict.outcome is Outcome.GO) != (by_part.outcome is Outcome.GO):
                    told = f"{verdict.candidate}: {verdict.outcome.value}, but {by_part.outcome.value}"
                    wrong.append(Disagreement(f"{seed}/{number}", text, log, told))
    return seen, wrong


def hold(count: int, seed: int, jobs: int) -> int:
    """Prints what was found; the result is the exit code."""
    return shares.held("bearing", "disagreements", held, _SHARE, count, seed, jobs)
