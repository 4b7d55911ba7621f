"""The definition: what a standard means, straight from the rules of meaning.

Slow and obvious on purpose, to be read with the page of rules beside it: each rule is cited by its number where it
lives. The replay of the compiled machine must give the same verdicts; this package knows nothing of it, since only
then does their agreement mean something.
"""

from standfast.definition.attendance import attended
from standfast.definition.candidate import read_for, void_for_want
from standfast.definition.finding import find
from standfast.definition.hearing import hear
from standfast.log.entry import SessionLog
from standfast.model.standard import Standard
from standfast.verdict import Verdict, of_each_candidate

__all__ = ["judge"]


def judge(standard: Standard, log: SessionLog) -> tuple[Verdict, ...]:
    """One verdict a candidate, in the order of the log's candidates.

    Rule 26: for a case of one event, give a standard that has that event alone.
    """
    return of_each_candidate(log, standard.by_anyone, lambda *asked: _judge(standard, *asked))


def _judge(standard: Standard, log: SessionLog, candidate: str) -> Verdict:
    log = attended(log, candidate)
    read, wanting = read_for(standard, log.facts.get(candidate, {}))
    if wanting:
        return void_for_want(standard, wanting, log, candidate)
    return find(hear(read, log.entries, log.end, candidate), log, candidate)
