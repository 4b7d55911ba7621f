"""Rounds in sentences: what they are, when one is made, missed or passed, and when they are over."""

from fractions import Fraction
from itertools import groupby

from standfast.model.rules import Closing, Misses, Round, Rounds
from standfast.quantity import decimal
from standfast.report.brief.spoken import amount, listed, ordinal
from standfast.report.lines import safe

MISSED = "this go at the round is missed"
PASSED = "the round is passed: neither made nor missed"
OUT = "the rounds are over, and are judged on what was made"
ANEW = "Its own rules run on over all rounds; those of its parts begin anew in each round and at each go."

_UNMARKED = {
    Closing.MADE: "Rounds passed over by an entry for a later one count as made.",
    Closing.MISSED: "Rounds passed over by an entry for a later one count as missed.",
    Closing.PASSED: "Rounds passed over by an entry for a later one count as passed.",
    None: "Every round is to be logged: no later round can be named before its turn.",
}


def course(rounds: Rounds, made: str) -> str:
    """What the rounds are and how they go; `made` says what makes one."""
    said = [_which(rounds), f"A round is made {made}."]
    said += ["Each is tried once." if rounds.tries == 1 else f"Each is tried up to {rounds.tries} times."]
    said += [_UNMARKED[rounds.unmarked]]
    return " ".join([*said, *_paces(rounds), "Done with the last round, or when one of the rules ends it.", ANEW])


def _which(rounds: Rounds) -> str:
    number, names = len(rounds.rounds), [safe(each.words) for each in rounds.rounds]
    if number == 1:
        return f"One round, {names[0]}."
    if number <= 8 and rounds.rounds[0].length is not None:
        return f"{number} rounds one after another: {listed(names)}."
    return f"{number} rounds one after another, from {names[0]} to {names[-1]}."


def _paces(rounds: Rounds) -> list[str]:
    """The pace of each level, and how long a round of it takes."""
    said = [] if rounds.paced is None else [f"Each round is {amount(rounds.paced)}."]
    levels = [
        f"{name} {quantity}{_time(rounds.time_of(first))}"
        for name, quantity, first in _levels(rounds)
        if quantity is not None
    ]
    return [*said, *([f"Pace: {'; '.join(levels)}."] if levels else [])]


def _levels(rounds: Rounds) -> list[tuple[str, str | None, int]]:
    """The levels, each with its pace and the place of its first round."""
    found = []
    for name, group in groupby(enumerate(rounds.rounds), lambda each: _level(each[1])):
        first, one = next(group)
        found.append((name, None if one.pace is None else amount(one.pace), first))
    return found


def _level(one: Round) -> str:
    return safe(one.words) if not one.parts else f"{safe(one.parts[0][0])} {one.parts[0][1]}"


def _time(micros: Fraction | None) -> str:
    """Seconds to the thousandth."""
    if micros is None:
        return ""
    seconds = Fraction(round(micros / 1000), 1000)
    return f", {decimal(seconds)} seconds a round"


def out(trigger: Misses) -> str:
    return f"the {ordinal(trigger.number)} miss {'in a row' if trigger.in_a_row else 'in all'}"
