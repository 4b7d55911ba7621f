"""A log run through learned moves."""

from typing import Any

from standfast.account import Account
from standfast.log.entry import SessionLog
from standfast.machine.state import State
from standfast.moves.layout import DUE
from standfast.moves.learned import END, HEARD, TIME, Learned, Moves
from standfast.moves.telling import Unusable
from standfast.replay import heard


def run(learned: Learned, log: SessionLog, candidate: str) -> tuple[Account, State]:
    """What `plainly` gives; of where the machine stands all but the numbers, of which a verdict reads none."""
    r: list[Any] = learned.registers[:]
    told, passed = learned.told[:], learned.passed[:]
    moves, by_anyone = learned.first, learned.by_anyone
    after: Moves | None
    for entry in heard(learned.machine, log, candidate) if by_anyone else log.entries:
        whose = entry.candidate
        own = whose is None or whose == candidate
        if not own and not by_anyone:
            continue
        now = entry.at
        if now >= r[DUE]:
            while (after := moves[TIME](r, now, None, told, passed)) is not None:
                moves = after
        after = moves[entry.mark if own else HEARD + entry.mark](r, now, entry, told, passed)
        assert after is not None
        moves = after
    if log.end is not None:
        while (after := moves[TIME](r, log.end, None, told, passed)) is not None:
            moves = after
        after = moves[END](r, log.end, None, told, passed)
        assert after is not None
        moves = after
    account = Account(learned.machine, unused=Unusable(passed))
    for row in told:
        row[0].tell(account, row, passed)
    return account, moves.state
