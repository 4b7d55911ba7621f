"""What a rule says, in one sentence each: limits, faults, pauses, conditions.

Total over the model: every kind of figure with every comparison, every trigger with every effect and what may go
with it. A sentence says from what to what a clock runs, from what a count counts, and which one fails.
"""

from standfast.model.rules import (
    Counting,
    Effect,
    Fault,
    FigureKind,
    Limit,
    Misses,
    Occurrence,
    OutOfOrder,
    Pattern,
    RestBound,
    Silence,
    Test,
)
from standfast.model.standard import Condition, Kind
from standfast.quantity import Comparison, Quantity
from standfast.report.brief import figures, rounds
from standfast.report.brief.setting import Opening, Setting, called
from standfast.report.brief.spoken import amount, ordinal, tested, times

_REPEATING = (Effect.NOTE, Effect.PASS, Effect.RESTART, Effect.MISS)


def limit(rule: Limit, setting: Setting) -> str:
    match rule.figure.kind:
        case FigureKind.TIME:
            return _time(rule.test, setting)
        case FigureKind.COUNT:
            assert rule.figure.mark is not None
            return _count(rule.test, rule.figure.mark, rule.figure.counting, setting)
        case FigureKind.SILENCE:
            assert rule.figure.mark is not None
            return _longest_silence(rule.test, setting.mark(rule.figure.mark), setting)
        case FigureKind.MADE | FigureKind.MISSED | FigureKind.FURTHEST:
            what = figures.ROUNDS[rule.figure.kind].capitalize()
            return f"{what}, when the rounds are over: {tested(rule.test)}; if not, {lost(setting)}."
        case _:
            return figures.sentence(rule, setting, broken(setting))


def fault(rule: Fault, setting: Setting) -> str:
    match rule.trigger:
        case Occurrence() as counted:
            again = rule.effect in _REPEATING or setting.clause is None
            trigger = _nth_seen(counted, setting, again)
        case OutOfOrder(pattern=pattern):
            seen = setting.seen(pattern)
            trigger = f"On {seen} out of turn, while nothing that is open counts it or waits for it"
        case Silence(mark=mark, length=length, or_more=or_more):
            stretch = f"{amount(length)} or more" if or_more else f"more than {amount(length)}"
            trigger = (
                f"After {stretch} without {setting.mark(mark)}, from {_live(setting).words} or the last one on"
            )
        case Misses() as misses:
            trigger = f"On {rounds.out(misses)}"
    if _ends_event(rule, setting):
        trigger += ", in a try or between two"
    return f"{trigger}: {_does(rule, setting)}."


def _ends_event(rule: Fault | RestBound, setting: Setting) -> bool:
    """Whether it says that no other try follows; inside rounds an `out` ends these alone."""
    around = setting.clause is not None and setting.clause.kind is Kind.ROUNDS
    return rule.effect is Effect.OUT and not around


def broken(setting: Setting) -> str:
    """What a broken limit does: inside a round it costs a go at it."""
    return rounds.MISSED if setting.in_round else lost(setting)


def pause(bound: RestBound, setting: Setting, *, greatest: bool) -> str:
    """One bound of the pause before the setting's clause."""
    assert setting.clause is not None and setting.around is not None and setting.before is not None
    length, before = amount(bound.length), setting.completion(setting.before)
    start = setting.clause.start
    if start is None:
        return f"A pause of {length} after {before}; then {called(setting.clause)} begins by itself."
    run = f"from {before} to {setting.signal(start)}"
    return f"A pause of {_bounded(length, run, greatest)}: {_does(bound, setting.around)}."


def pause_between(bound: RestBound, setting: Setting, *, greatest: bool) -> str:
    """One bound of the pause between tries; the setting is the event's."""
    assert setting.clause is not None
    length, start = amount(bound.length), setting.clause.start
    if start is None:
        return f"When a try has ended, {length} pass; then the next opens by itself."
    does = _does(bound, setting)
    if bound.effect is Effect.FAIL:
        does = "a try opens there, is used up and fails at once"
    run = f"from the end of one to {setting.signal(start)}, which opens the next"
    return f"Between tries {_bounded(length, run, greatest)}: {does}."


def condition(rule: Condition) -> str:
    if isinstance(rule.demand, bool):
        return "yes" if rule.demand else "no"
    return tested(rule.demand)


def lost(setting: Setting) -> str:
    """What a broken limit does."""
    if setting.event is None:
        return "the whole test ends NO-GO"
    return "the failure is kept and the try goes on" if setting.event.carry_on else "the try fails"


def _bounded(length: str, run: str, greatest: bool) -> str:
    if greatest:
        return f"at most {length}, {run}; exactly {length} is in time, later than that"
    return f"at least {length}, {run}; exactly {length} is enough, sooner than that"


def _time(test: Test, setting: Setting) -> str:
    run = f"from {setting.opening().words} to {setting.completion()}"
    first, then = amount(test.first), broken(setting)
    match test.comparison:
        case Comparison.AT_MOST:
            return f"At most {first}, {run}; exactly {first} is in time, later than that {then}."
        case Comparison.UNDER:
            return f"Less than {first}, {run}; at exactly {first} {then}."
        case Comparison.AT_LEAST:
            return f"At least {first}, {run}; exactly {first} is enough, sooner than that {then}."
        case Comparison.OVER:
            return f"More than {first}, {run}; at exactly {first} or sooner {then}."
        case Comparison.FROM_TO | Comparison.EXACTLY | Comparison.WITHIN:
            allowed = tested(test)
            return f"A time of {allowed}, {run}; sooner or later than that {then}."


def _count(test: Test, mark: str, counting: Counting, setting: Setting) -> str:
    seen, then = setting.mark(mark), broken(setting)
    first = int(test.first.base)
    since = f"counted from {setting.counted_from(Pattern(mark))}{setting.whose(counting)}"
    too_few = f"if fewer are counted by {setting.completion()}, {then}"
    match test.comparison:
        case Comparison.AT_MOST:
            return f"{seen} at most {times(first)}, {since}; on the {ordinal(first + 1)} {then}."
        case Comparison.UNDER:
            allowed = "not even once" if first == 1 else f"fewer than {first} times"
            return f"{seen} {allowed}, {since}; on the {ordinal(first)} {then}."
        case Comparison.AT_LEAST:
            return f"{seen} at least {times(first)}, {since}; {too_few}."
        case Comparison.OVER:
            allowed = f"more than {times(first)}" if first else "at least once"
            return f"{seen} {allowed}, {since}; {too_few}."
        case Comparison.EXACTLY:
            return f"{seen} exactly {times(first)}, {since}; on the {ordinal(first + 1)}, or {too_few}."
        case Comparison.FROM_TO:
            last = int(_second(test).base)
            allowed = f"at least {times(first)} and at most {times(last)}"
            return f"{seen} {allowed}, {since}; on the {ordinal(last + 1)}, or {too_few}."
        case Comparison.WITHIN:
            return f"How often {seen}, {since}: {tested(test)}; if not, {then}."


def _longest_silence(test: Test, seen: str, setting: Setting) -> str:
    run = f"from {setting.opening().words} to {setting.completion()}"
    first, then = amount(test.first), broken(setting)
    anew = f"{run}, counted anew after each"
    match test.comparison:
        case Comparison.AT_MOST:
            then = f"exactly {first} is in time, later than that {then}"
            return f"Never more than {first} without {seen}, {anew}; {then}."
        case Comparison.UNDER:
            return f"Never {first} or more without {seen}, {anew}; at exactly {first} {then}."
        case Comparison.AT_LEAST:
            return f"At some time {first} or more without {seen}, {run}; if there is no such stretch, {then}."
        case Comparison.OVER:
            return f"At some time more than {first} without {seen}, {run}; if there is no such stretch, {then}."
        case Comparison.FROM_TO | Comparison.EXACTLY | Comparison.WITHIN:
            allowed = tested(test)
            return f"The longest stretch without {seen}, {run}, lasts {allowed}; if not, {then}."


def _nth_seen(trigger: Occurrence, setting: Setting, again: bool) -> str:
    pattern, more_than = trigger.pattern, trigger.more_than
    seen = setting.seen(pattern)
    if not more_than:
        return f"On {seen}"
    after = " and on each one after it" if again else ""
    since = setting.counted_from(pattern, _live(setting))
    return f"On the {ordinal(more_than + 1)} {seen}{after}, counted from {since}{setting.whose(trigger.counting)}"


def _live(setting: Setting) -> Opening:
    """From what a fault is live."""
    return Opening("the first entry of the log") if setting.clause is None else setting.opening()


def _does(rule: Fault | RestBound, setting: Setting) -> str:
    match rule.effect:
        case Effect.NOTE:
            return "it is noted, and that is all"
        case Effect.PASS:
            return rounds.PASSED
        case Effect.RESTART:
            return _restarts(rule, setting)
        case Effect.MISS:
            return rounds.MISSED
        case Effect.OUT:
            if _ends_event(rule, setting):
                return "no other try follows, and the event is passed if one has succeeded, else failed"
            return rounds.OUT
        case Effect.FAIL:
            return lost(setting) if setting.event is not None else "the try that is open fails"
        case Effect.HALT:
            kept = "counts as used" if rule.charged else "does not count as used"
            return f"the try is stopped for safety and {kept}"
        case Effect.DISQUALIFY:
            return "the whole test ends NO-GO"


def _restarts(rule: Fault | RestBound, setting: Setting) -> str:
    assert setting.clause is not None
    start = setting.clause.start
    again = "at once" if rule.at_once or start is None else f"which then waits for {setting.signal(start)} again"
    where = f"back to the beginning of {called(setting.clause)}, {again}, with all its counts and clocks anew"
    if rule.at_most is None:
        return where
    return f"{where}, at most {times(rule.at_most)} in a try; the {ordinal(rule.at_most + 1)} time {lost(setting)}"


def _second(test: Test) -> Quantity:
    assert test.second is not None
    return test.second
