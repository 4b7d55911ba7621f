"""A log run through learned moves."""

from typing import Any

from standfast.account import Account
from standfast.log.entry import SessionLog
from standfast.machine.state import State
from standfast.moves.known import Unlearnable
from standfast.moves.learned import END, HEARD, Learned, late, timed
from standfast.moves.telling import Row, Telling
from standfast.replay import heard


def run(learned: Learned, log: SessionLog, candidate: str) -> tuple[Account, State] | None:
    """What `plainly` gives; of where the machine stands all but the numbers, of which a verdict reads none.

    None where something would have to be learned that will not be.
    """
    r, account = learned.begin()
    passed, go = account.passed, _among_others if learned.by_anyone else _alone
    try:
        moves: Any = go(learned, log, candidate, r, account, passed)
        if log.end is not None:
            moves = timed(moves, log.end, r, account, passed)
            if learned.bests:
                moves = moves[END](r, log.end, None, account, passed)
    except Unlearnable:
        return None
    return account, moves.state


def _alone(
    learned: Learned, log: SessionLog, candidate: str, r: list[Any], account: Telling, passed: list[Row]
) -> Any:
    """Where the candidate's own entries and those for all lead to; it is all the time that goes by here."""
    entries = log.entries
    if len(log.candidates) > 1:
        entries = tuple(entry for entry in entries if entry.is_for(candidate))
    moves: Any = learned.first
    rest = iter(entries)
    for entry in rest:
        moves = late(moves, entry, r, account, passed)
        while moves.loop is not None and (after := moves.loop(rest, r, account, passed)) is not None:
            moves = after
    return moves


def _among_others(
    learned: Learned, log: SessionLog, candidate: str, r: list[Any], account: Telling, passed: list[Row]
) -> Any:
    """The same where others' entries count."""
    moves: Any = learned.first
    for entry in heard(learned.machine, log, candidate):
        now, mark = entry.at, entry.mark if entry.is_for(candidate) else HEARD + entry.mark
        moves = timed(moves, now, r, account, passed)[mark](r, now, entry, account, passed)
    return moves
