"""Where a rule stands, and so from what to what its clock runs and from what its counts count."""

from enum import Enum

from standfast.model.rules import Counting, For, Pattern, Start, Until, UntilTotals
from standfast.model.standard import Clause, Event, Kind, Standard
from standfast.report.brief.spoken import amount, listed, name, ordinal, tested, whose
from standfast.report.lines import safe
from standfast.values import frozen


class Voice(Enum):
    CANDIDATE = "candidate"  # marks by what is seen, in the author's sentence
    GRADER = "grader"  # marks by the name that is logged


@frozen
class Opening:
    """What a clause begins with, to stand after `from`; `pattern` if an entry, and whether that counts inside."""

    words: str
    pattern: Pattern | None = None
    counted: bool = False


@frozen
class Setting:
    """A clause and what is around it; `event` and `clause` None: `always`.

    `before` is the item before it where items come one after another.
    """

    standard: Standard
    voice: Voice
    event: Event | None = None
    clause: Clause | None = None
    around: "Setting | None" = None
    before: Clause | None = None

    def inside(self, number: int) -> "Setting":
        """The setting of one of the clause's items."""
        assert self.clause is not None
        items = self.clause.items
        before = items[number - 1] if number and self.clause.kind in (Kind.IN_ORDER, Kind.ROUNDS) else None
        return Setting(self.standard, self.voice, self.event, items[number], self, before)

    @property
    def in_round(self) -> bool:
        """Whether it is inside of rounds, not the rounds themselves."""
        around = self.around
        while around is not None and (around.clause is None or around.clause.kind is not Kind.ROUNDS):
            around = around.around
        return around is not None

    # --- marks -----------------------------------------------------------------------------------------

    def mark(self, mark: str) -> str:
        declared = self.standard.mark(mark)
        if self.voice is Voice.GRADER or declared is None:
            return f"`{mark}`"
        return f"“{safe(declared.title)}”"

    def seen(self, pattern: Pattern) -> str:
        """The mark and, in brackets, what its value must be."""
        return self.mark(pattern.mark) + "".join(f" ({value})" for value in self._values(pattern))

    def nth(self, number: int, pattern: Pattern) -> str:
        return self.seen(pattern) if number == 1 else f"the {ordinal(number)} {self.seen(pattern)}"

    def signal(self, start: Start) -> str:
        """The entry a clause waits for: of a start that is counted, the first that is one too many."""
        return self.nth(start.more_than + 1, start.pattern)

    def whose(self, counting: Counting) -> str:
        return whose(counting, "your own" if self.voice is Voice.CANDIDATE else "the candidate's own")

    def _values(self, pattern: Pattern) -> tuple[str, ...]:
        if pattern.choices:
            choices = [each if self.voice is Voice.GRADER else name(each) for each in pattern.choices]
            return (("anything but " if pattern.other else "") + listed(choices, "or"),)
        if pattern.test is not None:
            return (tested(pattern.test),)
        return ()

    # --- from what, to what ----------------------------------------------------------------------------

    def opening(self) -> Opening:
        """What the clause begins with; of `always`, what its limits do."""
        if self.clause is None:
            return Opening("the opening of the first try")
        start = self.clause.start
        if start is not None and start.first:
            return Opening(f"the first {self.seen(start.pattern)}", start.pattern, counted=True)
        if start is not None:
            return Opening(self.signal(start), start.pattern)
        if self.around is None:
            return Opening("the opening of the try")
        if self.before is None and self.around.clause is not None and self.around.clause.kind is Kind.ROUNDS:
            return Opening("the opening of the round, or of the next go at it")
        if self.before is None:
            return self.around.opening()
        rest = self.clause.rest
        if rest is not None and rest.least is not None:
            return Opening(f"the end of the pause of {amount(rest.least.length)}")
        return Opening(self.completion(self.before), _completing(self.before))

    def counted_from(self, pattern: Pattern, opening: Opening | None = None) -> str:
        """From what entries that fit are counted, and whether that one is, where it could be."""
        opening = opening or self.opening()
        declared = self.standard.mark(pattern.mark)
        first = opening.pattern
        if first is None or declared is None or first.mark != pattern.mark:
            return opening.words
        if first.choices and pattern.choices:
            both = [c for c in declared.choices if first.fits(first.mark, c) and pattern.fits(first.mark, c)]
            if not both:
                return opening.words
        fits = "" if first == pattern or pattern == Pattern(pattern.mark) else " where it fits"
        return f"{opening.words}, that one {f'included{fits}' if opening.counted else 'not included'}"

    def completion(self, clause: Clause | None = None) -> str:
        """What the clause (or another, given) is completed by, to stand after `to`; of `always`, what ends it."""
        clause = clause or self.clause
        if clause is None:
            return "the verdict"
        if clause.kind is Kind.ROUNDS:
            return f"the end of {called(clause)}"
        match clause.goal:
            case Until(number=number, pattern=pattern):
                return self.nth(number, pattern)
            case UntilTotals(mark=mark, amount=total):
                return f"{self.mark(mark)} reaching {amount(total)} in all"
            case For(length=length):
                return f"the end of the {amount(length)} of {called(clause)}"
        if clause.kind is Kind.IN_ORDER:
            return self.completion(clause.items[-1])
        which = "chosen" if clause.kind is Kind.ONE_OF else "last"
        return f"the end of the {which} part of {called(clause)}"


def called(clause: Clause) -> str:
    """`the step “tow”`."""
    kind = {Kind.STEP: "step", Kind.ROUNDS: "rounds"}.get(clause.kind, "group")
    kind = "event" if clause.depth == 1 else kind
    return f"the {kind} “{name(clause.label)}”"


def _completing(clause: Clause) -> Pattern | None:
    """The entry that completes the clause, where it is always of one kind."""
    match clause.goal:
        case _ if clause.kind is Kind.ROUNDS:
            return None
        case Until(pattern=pattern):
            return pattern
        case UntilTotals(mark=mark):
            return Pattern(mark)
    return _completing(clause.items[-1]) if clause.kind is Kind.IN_ORDER else None
