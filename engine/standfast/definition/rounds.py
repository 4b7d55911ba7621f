"""Rounds (rules 32 to 35): what the tries of a clause with rounds amount to."""

from collections.abc import Iterator

from standfast.definition.state import Hearing, Run, Trial
from standfast.log.entry import Entry
from standfast.model.rules import Closing, Fault, FigureKind, Misses, Round
from standfast.model.standard import Clause, Kind
from standfast.verdict import RoundsResult


def rounds_of(clause: Clause) -> tuple[Round, ...]:
    return () if clause.rounds is None else clause.rounds.rounds


def round_words(run: Run | None) -> str | None:
    """The name of the round now open in a clause in progress."""
    if run is None or run.open_round is None:
        return None
    return rounds_of(run.clause)[run.open_round].words


def misses_in_a_row(run: Run) -> int:
    """Rule 34: a made round clears the row, a pass neither adds nor clears, a change of level means nothing."""
    row = 0
    for trial in run.trials:
        if trial.ended is Closing.MADE:
            row = 0
        elif trial.ended is Closing.MISSED:
            row += 1
    return row


def most_misses_in_a_row(run: Run) -> int:
    """Rule 35: the longest row."""
    found = [0]
    for trial in run.trials:
        if trial.ended is Closing.MADE:
            found.append(0)
        elif trial.ended is Closing.MISSED:
            found[-1] += 1
    return max(found)


def misses_in_all(run: Run) -> int:
    return len([trial for trial in run.trials if trial.ended is Closing.MISSED])


def missed_tries_at(run: Run, number: int) -> int:
    """Rule 32: those at one round."""
    return len([t for t in run.trials if t.round == number and t.ended is Closing.MISSED])


def furthest(run: Run) -> int:
    """Rule 35: the number of the greatest round made, from 1; 0 for none."""
    return max((n for n, ended in enumerate(run.closed, 1) if ended is Closing.MADE), default=0)


def figure(run: Run, kind: FigureKind) -> int:
    """Rule 35."""
    match kind:
        case FigureKind.MADE:
            return run.closed.count(Closing.MADE)
        case FigureKind.MISSED:
            return run.closed.count(Closing.MISSED)
        case _:
            return furthest(run)


def missed_out(run: Run) -> Fault | None:
    """Rule 34: the `out` that the misses so far bring about, the first written."""
    for fault in sorted(run.clause.faults, key=lambda each: each.order):
        match fault.trigger:
            case Misses(number=number, in_a_row=True) if misses_in_a_row(run) >= number:
                return fault
            case Misses(number=number, in_a_row=False) if misses_in_all(run) >= number:
                return fault
    return None


def close(run: Run, ended: Closing) -> None:
    """The open round ends so; the try at it, too."""
    assert run.open_round is not None
    run.trials.append(Trial(run.open_round, ended))
    run.closed.append(ended)


# --- the name of a round -----------------------------------------------------------------------------------


def round_named(hearing: Hearing, entry: Entry) -> tuple[Run, int] | None:
    """Rule 33: the open clause whose mark this is, and the place of the round that is named; None for no name."""
    clause = hearing.standard.round_marks().get(entry.mark)
    if clause is None or not isinstance(entry.value, str) or hearing.root is None:
        return None
    for run in hearing.root.open_runs():
        if run.clause is clause and clause.rounds is not None:
            return run, clause.rounds.index(entry.value)
    return None


# --- what a verdict says of them ---------------------------------------------------------------------------


def results(run: Run | None) -> Iterator[RoundsResult]:
    """Rule 35: of each clause with rounds that has begun, from here inwards, in written order."""
    if run is None or run.waits:
        return
    if run.clause.kind is Kind.ROUNDS:
        greatest = furthest(run)
        yield RoundsResult(
            path=run.clause.path,
            made=run.closed.count(Closing.MADE),
            missed=run.closed.count(Closing.MISSED),
            furthest=rounds_of(run.clause)[greatest - 1].words if greatest else None,
            over=run.open_round is None,
        )
    for item in sorted(run.items, key=lambda each: each.clause.order):
        yield from results(item)
