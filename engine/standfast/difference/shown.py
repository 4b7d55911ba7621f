"""From a way through both machines to a log that takes it, and what each edition says of that log.

Nothing here is believed: a log is shown only if the replay of the machine and the written definition judge it
alike under each edition, and as the way says.
"""

from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction
from functools import cached_property
from hashlib import sha256

from standfast.definition import judge
from standfast.difference.bearing import acting, bearing
from standfast.difference.conditions import condition_changes
from standfast.difference.ground import Ground
from standfast.difference.marks import shared_marks
from standfast.difference.node import Node
from standfast.difference.product import Product
from standfast.difference.side import Outcome, Side
from standfast.log.entry import Entry, SessionLog
from standfast.log.writer import log_bytes
from standfast.machine.compile import compile_standard
from standfast.machine.effort import Effort
from standfast.machine.instants import SECOND, Apart, Wish, earliest, raised
from standfast.machine.parts import Bar, Gauge, Judged, Machine, Rung
from standfast.machine.state import Began, Restarted, Signal
from standfast.machine.values import Span
from standfast.machine.wishes import total_range, wishes
from standfast.machine.witness import CANDIDATE, OTHER, facts_of
from standfast.model.rules import UntilTotals
from standfast.model.standard import Facts, Standard
from standfast.quantity import Quantity
from standfast.replay import replay
from standfast.values import evolve, field, frozen
from standfast.verdict import Verdict


@frozen
class Shown:
    """One log with the verdict of each edition on it; the logs differ in their headers alone.

    `read` is each edition as it is meant for the candidate.
    """

    old_log: SessionLog
    new_log: SessionLog
    old: Verdict
    new: Verdict
    read: tuple[Standard, Standard] = field(eq=False, repr=False)

    @property
    def entries(self) -> int:
        return len(self.old_log.entries)

    def mirrored(self) -> "Shown":
        return Shown(self.new_log, self.old_log, self.new, self.old, self.read[::-1])


@frozen
class _Step:
    """A step of one side of a way, as `machine.wishes` looks at it."""

    signals: tuple[Signal, ...] = ()
    resets: frozenset[int] = frozenset()
    added: tuple[tuple[int, bool], ...] = ()
    noted: tuple[int, ...] = ()
    paced: tuple[int, ...] = ()
    judged: tuple[tuple[Judged | Bar | Rung, bool], ...] = ()


@frozen(slots=False)
class Edition:
    """One edition, with its machine, for one candidate, of whom these facts are stated.

    `read` is what it means for the candidate.
    """

    machine: Machine
    facts: Facts
    read: Standard

    @property
    def standard(self) -> Standard:
        return self.machine.standard

    @cached_property
    def bears(self) -> Standard:
        """What of it bears on who is GO."""
        return bearing(self.read)

    @cached_property
    def bears_wholly(self) -> bool:
        """Whether nothing is left out of it."""
        return self.bears == self.read

    @cached_property
    def side(self) -> Side:
        """What bears on who is GO, to be walked: what it has found is kept for every walk."""
        return _to_walk(self.bears)

    @cached_property
    def acts(self) -> Standard:
        """What of it decides who is GO, by which rules and with which grade."""
        return acting(self.read)

    @cached_property
    def telling_side(self) -> Side:
        """The same of what tells by which rules."""
        return _to_walk(self.acts)

    def session(
        self, entries: tuple[Entry, ...], end: int | None, stated: Mapping[str, Quantity | bool] | None = None
    ) -> SessionLog:
        """A log of these entries, under conditions that are all met but for those that are stated otherwise."""
        shared = any(entry.candidate == OTHER for entry in entries)
        candidates = (CANDIDATE, OTHER) if shared else (CANDIDATE,)
        met = facts_of(self.read)
        log = SessionLog(
            session="shown",
            standard=self.standard.name,
            edition=self.standard.edition,
            candidates=candidates,
            conditions={name: (stated or {}).get(name, fact) for name, fact in met.items()},
            facts=dict.fromkeys(candidates, self.facts) if self.facts else {},
            entries=entries,
            end=end,
            grader=None,
            started=None,
            digest="",
        )
        return evolve(log, digest=sha256(log_bytes(log)).hexdigest())

    def verdict(self, log: SessionLog) -> Verdict | None:
        """The candidate's; None where the replay and the definition disagree."""
        by_machine = replay(self.machine, log)
        if by_machine != judge(self.standard, log):
            return None
        return next(verdict for verdict in by_machine if verdict.candidate == CANDIDATE)

    @cached_property
    def grounds(self) -> dict[tuple[Side, bool], Ground]:
        """What it does together with the side of another edition: see `together`."""
        return {}


def _to_walk(standard: Standard) -> Side:
    """The machine with every condition met."""
    events = tuple(evolve(each, conditions=()) for each in standard.events)
    return Side(compile_standard(evolve(standard, conditions=(), events=events)))


Editions = tuple[Edition, Edition]
Logged = tuple[tuple[Entry, ...], int | None]
"""The entries of a log and its end."""


def together(editions: Editions, *, telling: bool) -> Ground:
    """Both machines, with what every walk through them has found; `telling`: see `Ground`.

    Unless it is to tell what acts, only what bears on who is GO is in them. Where nothing is left out of either,
    the same sides are walked; not of one alone, since values are numbered as both together tell them apart.
    """
    apart = telling and not all(edition.bears_wholly for edition in editions)
    old, new = (edition.telling_side if apart else edition.side for edition in editions)
    grounds = editions[0].grounds
    if (new, telling) not in grounds:
        grounds[new, telling] = Ground(old, new, shared_marks(old.machine, new.machine), telling)
    return grounds[new, telling]


def shown(editions: Editions, logged: Logged, stated: Mapping[str, Quantity | bool] | None = None) -> Shown | None:
    """Both verdicts on a log; None where machine and definition disagree.

    What is not `stated` of the conditions meets both editions, where anything does, or else each its own.
    """
    changes = condition_changes(editions[0].read, editions[1].read)
    met = {change.name: change.both for change in changes if change.both is not None}
    logs = [edition.session(*logged, met | dict(stated or {})) for edition in editions]
    old, new = (edition.verdict(log) for edition, log in zip(editions, logs, strict=True))
    if old is None or new is None:
        return None
    return Shown(logs[0], logs[1], old, new, (editions[0].read, editions[1].read))


def named(log: Logged, graded: frozenset[str]) -> tuple[Entry, ...]:
    """The entries by somebody where any event asks by whom, and of the candidate where there is another."""
    shared = any(entry.candidate is not None for entry in log[0])
    return tuple(
        evolve(
            entry,
            by=entry.by or ("G-1" if entry.mark in graded else None),
            candidate=entry.candidate or (CANDIDATE if shared else None),
        )
        for entry in log[0]
    )


def logged(product: Product, node: Node) -> Logged | None:
    """The log that takes the way to the node and ends there; None if none was found."""
    path = node.path()
    sides = [_side(path, 0), _side(path, 1)]
    apart = list(_demanded(product, path))
    machines = product.old.machine, product.new.machine
    entered = [number for number, step in enumerate(path) if step.kind.mark is not None]
    ends = node.kind.mark is None or node.kind.other
    instants = None
    for at_once in (False, True):
        asked = {
            wish
            for machine, side in zip(machines, sides, strict=True)
            for wish in wishes(machine, side, None, at_once=at_once)
        }
        wanted = sorted(asked, key=_whichever_edition_is_old)
        instants = instants or earliest(len(path) + ends, apart, wanted, entered, SECOND, Effort())
    values = _values(product, path, sides)
    if instants is None or values is None:
        return None
    graders = list(_graders(path))
    shared = any(step.kind.other for step in path)
    once = product.old.machine.standard.once_a_grader | product.new.machine.standard.once_a_grader
    entries = tuple(
        Entry(
            number=place,
            line=place + 1,
            at=instants[number],
            mark=path[number].kind.mark or "",
            value=values[number],
            candidate=OTHER if path[number].kind.other else CANDIDATE if shared else None,
            by=graders[number] or ("G-1" if path[number].kind.mark in once else None),
        )
        for place, number in enumerate(entered, 1)
    )
    return entries, instants[-1] if ends else None


def _whichever_edition_is_old(wish: Wish) -> tuple[object, ...]:
    """The order in which wishes are granted, one after another: another order may lead to no log."""
    return wish.stretches, wish.least is None, wish.least or 0, wish.most is None, wish.most or 0


def _side(path: Sequence[Node], number: int) -> list[_Step]:
    steps = []
    for node in path:
        outcome: Outcome | None = node.outcomes[number]
        if outcome is None:
            steps.append(_Step())
        else:
            steps.append(
                _Step(outcome.signals, outcome.resets, outcome.added, outcome.noted, outcome.paced, outcome.judged)
            )
    return steps


def _demanded(product: Product, path: Sequence[Node]) -> Iterator[Apart]:
    """How far apart the steps must lie; where time alone did the last of them, also where the log can end."""
    set_at: dict[int, int] = {}
    for number, step in enumerate(path):
        if number:
            yield number - 1, number, int(path[number - 1].late and not step.late)
        yield from _asked(set_at, number, step.guards)
        set_at |= dict.fromkeys(step.resets, number)
    last = path[-1]
    if last.kind.mark is None or last.kind.other:
        yield len(path) - 1, len(path), int(last.late)
        yield from _asked(set_at, len(path), product.at_the_end(last))


def _asked(
    set_at: dict[int, int], number: int, guards: Sequence[tuple[int, int | None, int | None]]
) -> Iterator[Apart]:
    for clock, least, most in guards:
        if least is not None:
            yield set_at[clock], number, least
        if most is not None:
            yield number, set_at[clock], -most


def _graders(path: Sequence[Node]) -> Iterator[str | None]:
    """By whom each step's entry is."""
    known: dict[str, str] = {}
    used: dict[str, set[str]] = {}
    for step in path:
        name, mark = step.kind.by, step.kind.mark
        if name is None or mark is None:
            yield None
        else:
            if name not in known:
                taken = used.setdefault(mark, set())
                known[name] = f"G-{len(taken) + 1}"
                taken.add(known[name])
            yield known[name]
        if name is not None or step.names:
            known = {new: known[old] for new, old in step.names.items() if old in known}


# --- values --------------------------------------------------------------------------------------------------


def _values(
    product: Product, path: Sequence[Node], sides: Sequence[Sequence[_Step]]
) -> list[str | Quantity | None] | None:
    """The values of the entries; where they go into totals, such that these pass and fail as answered."""
    values = [step.kind.value for step in path]
    totals = list(_totals(product, path, sides))
    for mark in {path[run[0]].kind.mark for run, _, _ in totals}:
        entries = [number for number, step in enumerate(path) if step.kind.mark == mark and step.kind.value]
        first = values[entries[0]]
        assert isinstance(first, Quantity)
        grid = first.unit.factor / 1_000_000
        runs = [(run, least, most) for run, least, most in totals if path[run[0]].kind.mark == mark]
        found = _shared_out(entries, runs, grid, [path[number].kind.span for number in entries], values)
        if found is None:
            return None
        for number, amount in zip(entries, found, strict=True):
            values[number] = Quantity(((amount * grid / first.unit.factor, first.unit),))
    return values


Range = tuple[list[int], Fraction | None, Fraction | None]
"""Entries, by their steps, with what they come to together at least and at most."""


def _totals(product: Product, path: Sequence[Node], sides: Sequence[Sequence[_Step]]) -> Iterator[Range]:
    for machine, steps in zip((product.old.machine, product.new.machine), sides, strict=True):
        totals = [place for place in machine.places if isinstance(place.goal, UntilTotals)]
        goals = {place.goal_register: place.goal for place in totals}
        runs: dict[int, list[int]] = {}
        for number, step in enumerate(steps):
            kind = path[number].kind
            grid = kind.value.unit.factor / 1_000_000 if isinstance(kind.value, Quantity) else Fraction(1, 10**6)
            for signal in step.signals:
                if isinstance(signal, Began | Restarted):
                    place = machine.places[signal.place]
                    runs |= {total: [] for total in place.totals}
                    if isinstance(place.goal, UntilTotals) and place.goal_register is not None:
                        runs[place.goal_register] = []
            for total in step.noted:
                runs.setdefault(total, []).append(number)
            for total, reached in step.added:
                goal, run = goals[total], runs.setdefault(total, [])
                assert isinstance(goal, UntilTotals)
                run.append(number)
                wanted = goal.amount.base
                yield list(run), *((wanted, None) if reached else (None, wanted - grid))
            for row, answer in step.judged:
                if row.gauge is Gauge.TOTAL and runs.get(row.register):
                    yield list(runs[row.register]), *total_range(row, answer, None, grid)


def _shared_out(
    entries: Sequence[int],
    runs: Sequence[Range],
    grid: Fraction,
    spans: Sequence[Span],
    values: Sequence[str | Quantity | None],
) -> list[int] | None:
    """Amounts in steps of the grid, each within its span, by which every run comes to what it must; or None.

    The sum of the first so many entries is a number of its own; a run is a difference of two of them. Of a run
    that leaves entries out only the last stretch is looked at: whether the log holds is seen when it is judged.
    """
    place = {number: index for index, number in enumerate(entries)}
    kept = [value.base if isinstance(value, Quantity) else Fraction(0) for value in values]
    if all(
        (least is None or sum(kept[n] for n in run) >= least)
        and (most is None or sum(kept[n] for n in run) <= most)
        for run, least, most in runs
    ):
        return [int(kept[number] / grid) for number in entries]
    apart: list[Apart] = []
    for index, (least, most) in enumerate(spans):
        apart.append((index, index + 1, -(-least // grid)))
        if most is not None:
            apart.append((index + 1, index, -(most // grid)))
    for run, least_sum, most_sum in runs:
        last = place[run[-1]] + 1
        begin = last - 1
        while begin > 0 and entries[begin - 1] in run:
            begin -= 1
        if least_sum is not None:
            apart.append((begin, last, -(-least_sum // grid)))
        if most_sum is not None:
            apart.append((last, begin, -(most_sum // grid)))
    sums = raised([0] * (len(entries) + 1), apart)
    return None if sums is None else [sums[index + 1] - sums[index] for index in range(len(entries))]
