"""An archive of logs graded under two editions.

Nothing is guessed: where an edition asks for what nobody was asked to log, and its verdict hangs on that, the
candidate is counted apart, and so are logs that one of the editions cannot read.
"""

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping

from standfast.diagnostic import has_errors
from standfast.difference.impact import Apart, Change, Impact, Unread, Why, Worth
from standfast.log.bind import bind
from standfast.log.entry import Header, RawLog, SessionLog
from standfast.machine.compile import compile_standard
from standfast.model.rules import marks_named
from standfast.model.standard import Event, Standard
from standfast.moves.replayed import Replays
from standfast.values import evolve, field, frozen
from standfast.verdict import Outcome, Verdict, deciding, resting_on

_EXAMPLES = 3  # logs named of those that are counted apart for one cause
_CAUSES = 50  # told one by one; what comes after is counted by kind alone, so that memory does not grow with it


def impact(old: Standard, new: Standard, logs: Iterable[RawLog | Unread]) -> Impact:
    """The archive graded under both editions; of it only what changed is kept."""
    weighing = _Weighing(
        _Edition(Replays(compile_standard(old)), new), _Edition(Replays(compile_standard(new)), old)
    )
    read, otherwise = 0, 0
    table: Counter[tuple[Outcome, Outcome]] = Counter()
    changes: list[Change] = []
    apart: dict[tuple[Why, str], Apart] = {}
    for log in logs:
        read += 1
        for found in weighing.weighed(log):
            match found:
                case Change():
                    table[found.old.outcome, found.new.outcome] += 1
                    changes.append(found)
                case _Alike():
                    table[found.outcome, found.outcome] += 1
                    otherwise += found.otherwise
                case Apart():
                    cause = found.why, found.what
                    if cause not in apart and len(apart) >= _CAUSES:
                        cause = found.why, ""
                    apart[cause] = _added(apart.get(cause, Apart(*cause, 0, ())), found)
    places = list(Outcome)
    return Impact(
        logs=read,
        table=tuple(
            (was, now, count)
            for (was, now), count in sorted(
                table.items(), key=lambda each: (places.index(each[0][0]), places.index(each[0][1]))
            )
        ),
        changes=tuple(changes),
        otherwise=otherwise,
        apart=tuple(apart.values()),
    )


def _added(known: Apart, found: Apart) -> Apart:
    names = tuple(dict.fromkeys((*known.logs, *found.logs)))[:_EXAMPLES]
    return evolve(known, count=known.count + found.count, logs=names, passed=known.passed + found.passed)


@frozen
class _Alike:
    """One who does not change; `otherwise`: the verdict rests on something else."""

    outcome: Outcome
    otherwise: bool


@frozen
class _Edition:
    """An edition that logs are graded by, and what it asks for that the `other` does not.

    `marks` are those its rules name, each with the choices that only it has, or none where the whole mark is new;
    `facts` what is to be stated at the head of a log.
    """

    replays: Replays
    other: Standard
    marks: Mapping[str, frozenset[str]] = field(init=False)
    facts: frozenset[str] = field(init=False)

    @marks.default
    def _marks(self) -> dict[str, frozenset[str]]:
        standard = self.standard
        named = {name for rule in standard.rules() for name in marks_named(rule)}
        found: dict[str, frozenset[str]] = {}
        for mark in standard.marks:
            other = self.other.mark(mark.name)
            choices = frozenset(mark.choices) - frozenset(() if other is None else other.choices)
            if mark.name in named and (other is None or choices):
                found[mark.name] = frozenset() if other is None else choices
        return found

    @facts.default
    def _facts(self) -> frozenset[str]:
        return _asked(self.standard) - _asked(self.other)

    @property
    def standard(self) -> Standard:
        return self.replays.machine.standard


def _asked(standard: Standard) -> frozenset[str]:
    """What is to be stated at the head of a log: conditions, and facts of the candidate."""
    conditions = [*standard.conditions, *(each for event in standard.events for each in event.conditions)]
    return frozenset([each.name for each in conditions] + [fact.name for fact in standard.facts])


@frozen
class _Weighing:
    old: _Edition
    new: _Edition

    def weighed(self, log: RawLog | Unread) -> Iterator[Change | _Alike | Apart]:
        """One value for each candidate, or one for a log that cannot be graded under both."""
        if isinstance(log, Unread):
            yield _apart(Why.NOT_READ, "", log.name)
            return
        name = log.source.name
        if log.header.standard not in (self.old.standard.name, self.new.standard.name):
            yield _apart(Why.OTHER_STANDARD, log.header.standard, name)
            return
        sessions = []
        for edition, why in ((self.old, Why.NOT_OF_OLD), (self.new, Why.NOT_OF_NEW)):
            session, found = bind(_under(log, edition.standard), edition.standard)
            if session is None or has_errors(found):
                yield _apart(why, found[0].message, name)
                return
            sessions.append(session)
        was, now = (
            each.replays.verdicts(session) for each, session in zip((self.old, self.new), sessions, strict=True)
        )
        kept = self._kept_under(log.header)
        for before, after in zip(was, now, strict=True):
            yield self._held(before, after, kept, sessions[0])

    def _held(
        self, before: Verdict, after: Verdict, kept: "_Edition | None", session: SessionLog
    ) -> Change | _Alike | Apart:
        sides = ((self.old, before, after, Why.OLD_LACKS), (self.new, after, before, Why.NEW_LACKS))
        for edition, verdict, other, why in sides:
            lacking = () if edition is kept else tuple(_lacking(edition, verdict, session))
            if lacking:
                apart = _apart(why, ", ".join(lacking), session.name)
                return evolve(apart, passed=int(other.outcome is Outcome.GO))
        worth = _worth(before), _worth(after)
        if worth[0] == worth[1]:
            return _Alike(before.outcome, _rests_on(before) != _rests_on(after))
        by_new = after.outcome is not Outcome.GO
        return Change(
            log=session.name,
            session=session.session,
            candidate=before.candidate,
            old=worth[0],
            new=worth[1],
            by=resting_on(after if by_new else before),
            by_new=by_new,
        )

    def _kept_under(self, header: Header) -> "_Edition | None":
        """The edition a log was kept under, by what it names, or by its day; None: another, or not known."""
        old, new = self.old.standard, self.new.standard
        if header.edition is not None and old.edition != new.edition:
            named = {old.edition: self.old, new.edition: self.new}
            return named.get(header.edition)
        if header.started is None or old.in_force == new.in_force:
            return None
        first, later = sorted((self.old, self.new), key=lambda each: each.standard.in_force)
        return later if header.started >= later.standard.in_force else first


def _apart(why: Why, what: str, log: str) -> Apart:
    return Apart(why, what, 1, (log,))


def _under(log: RawLog, standard: Standard) -> RawLog:
    """The log as if it had been kept under an edition; only what it says as corrected matters."""
    return evolve(log, header=evolve(log.header, standard=standard.name, edition=None), uncorrected=None)


def _worth(verdict: Verdict) -> Worth:
    return Worth(verdict.outcome, verdict.grade, verdict.points)


def _rests_on(verdict: Verdict) -> tuple[str, ...]:
    return tuple(each.path for each in resting_on(verdict))


def _lacking(edition: _Edition, verdict: Verdict, session: SessionLog) -> Iterator[str]:
    """What a verdict hangs on that the log has not, since it was not kept under this edition."""
    if verdict.outcome is Outcome.VOID:
        unstated = [each.path.rpartition(".")[2] for each in deciding(verdict)]
        yield from unstated if edition.facts.issuperset(unstated) else ()
        return
    for name, choices in edition.marks.items():
        logged = any(each.mark == name and (not choices or each.value in choices) for each in session.entries)
        if not logged and _hangs_on(name, edition.standard, verdict):
            yield name


def _hangs_on(mark: str, standard: Standard, verdict: Verdict) -> bool:
    """Whether entries of the mark could have made another verdict: an event that names it was opened, or might."""
    around = (
        *standard.always.limits,
        *standard.always.faults,
        *(x for grade in standard.grades for x in grade.limits),
    )
    if any(mark in marks_named(rule) for rule in around):
        return True
    opened = {event.label for event in verdict.events if event.attempts}
    closed = verdict.outcome is Outcome.NO_GO and not (standard.events_in_any_order or standard.carry_on)
    naming = [event for event in standard.events if any(mark in marks_named(rule) for rule in event.rules())]
    return any(event.label in opened or (not closed and _may_begin_on(mark, event)) for event in naming)


def _may_begin_on(mark: str, event: Event) -> bool:
    start = event.clause.start
    return start is None or start.pattern.mark == mark
