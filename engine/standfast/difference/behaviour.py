"""Two editions held against each other by what they do: which logs get GO.

Everything said here is proved over all logs, or shown by one, or said not to be decided. See the rules of meaning
50 to 53.
"""

from collections.abc import Sequence
from functools import cached_property

from standfast.difference.by_lines import NOTHING, course_by_lines, course_for_all, whole_for_all
from standfast.difference.candidates import candidates
from standfast.difference.claims import MOST_PAIRS, NONE, SAME, UNKNOWN, Claim, Course, shorter
from standfast.difference.comparison import Comparison, EventComparison
from standfast.difference.conditions import ConditionChange, condition_changes, over_all, void_by
from standfast.difference.course import course_of
from standfast.difference.kinds import Kinds
from standfast.difference.likeness import alike, bare, bare_frame
from standfast.difference.marks import mark_changes
from standfast.difference.passing import passing_log
from standfast.difference.shown import Edition, Editions, shown
from standfast.difference.walks import lone_go
from standfast.difference.whole import EventPart, alike_in_events, apart, some_log, whole_of
from standfast.machine.compile import compile_standard
from standfast.model.alone import with_one_event
from standfast.model.candidate import in_play, specialised
from standfast.model.standard import Facts, Standard
from standfast.values import evolve, field, frozen

Changes = tuple[ConditionChange, ...]


_LOOKED_AT = 48
"""Kinds of candidate for which both machines are walked; of more the lines alone are looked at."""


def compare(old: Standard, new: Standard, most: int = MOST_PAIRS) -> Comparison:
    """Both editions, for every kind of candidate; `most`: see `MOST_PAIRS`."""
    kinds = candidates(old, new)
    machines = compile_standard(old), compile_standard(new)
    unlike: dict[tuple[object, object, Changes], tuple[Editions, Changes]] = {}
    for kind in kinds.kinds:
        one, other = (
            Edition(machine, facts, _read(machine.standard, facts))
            for machine, facts in zip(machines, kind, strict=True)
        )
        conditions = condition_changes(one.read, other.read)
        unlike.setdefault((_meaning(one.read), _meaning(other.read), conditions), ((one, other), conditions))
    marks = mark_changes(old, new)
    differ = sum(one != other or bool(conditions) or marks.any for one, other, conditions in unlike)
    shared = Kinds(most, differ)
    found, rest = [_Compared(*each, shared) for each in unlike.values()], list[_Compared]()
    if len(found) > _LOOKED_AT:
        found.sort(key=lambda each: each.settled_by_lines)
        found, rest = found[:_LOOKED_AT], found[_LOOKED_AT:]
        shared.number = sum(not each.settled_by_lines for each in found)
    by_lines = [each.by_lines for each in rest]
    whole_by_lines = [each.whole_by_lines() for each in rest]
    if not kinds.all_kinds:
        by_lines.append(course_for_all(old, new))
        whole_by_lines.append(whole_for_all(old, new))
    shared.others = _over(by_lines) if by_lines else None
    course = _over([*(each.course for each in found), *by_lines])
    whole = _over([*(each.whole() for each in found), *whole_by_lines])
    labels = dict.fromkeys(event.label for standard in (old, new) for event in standard.events)
    events = tuple(
        EventComparison(
            label,
            any(event.label == label for event in old.events),
            any(event.label == label for event in new.events),
            _event(label, found, rest, None if kinds.all_kinds else (old, new)),
        )
        for label in labels
    )
    passed = [_any_passed(found, side, not by_lines) if marks.any else None for side in (0, 1)]
    conditions = over_all([each.conditions for each in (*found, *rest)])
    return Comparison(old, new, whole, course, events, conditions, marks, kinds, (passed[0], passed[1]))


def _any_passed(found: "list[_Compared]", side: int, all_kinds: bool) -> bool | None:
    """Whether some log of the marks that both know is GO on one side; None: not known."""
    passed: bool | None = False if all_kinds else None
    for each in found:
        one = each.passed(side)
        if one:
            return True
        passed = None if one is None else passed
    return passed


def _read(standard: Standard, facts: Facts) -> Standard:
    return specialised(standard, facts) if standard.facts else standard


def _event(
    label: str, found: "list[_Compared]", rest: "list[_Compared]", others: tuple[Standard, Standard] | None
) -> Course | None:
    """The event by itself; None where not both editions have it.

    Of the `rest` the lines alone are looked at, and of kinds that are none of these what both say of `others`.
    """
    courses = [course for each in found if (course := each.event(label)) is not None]
    courses += [course for each in rest if (course := each.event_by_lines(label)) is not None]
    if others is not None:
        alone = [with_one_event(each, event) for each in others for event in each.events if event.label == label]
        if len(alone) == len(others):
            courses.append(course_for_all(*alone))
    return _over(courses) if courses else None


def _over(courses: Sequence[Course]) -> Course:
    """Over all kinds of candidate: what one shows is shown, what is proved of all is proved."""
    return Course(
        shorter([course.lost for course in courses]),
        shorter([course.gained for course in courses]),
        shorter([course.told for course in courses]),
    )


@frozen(slots=False)
class _Compared:
    """Both editions for one kind of candidate."""

    editions: Editions
    conditions: Changes
    kinds: Kinds
    _alone_editions: dict[str, Editions | None] = field(init=False, factory=dict, eq=False)
    _passes: dict[int, Claim] = field(init=False, factory=dict, eq=False)

    @cached_property
    def most(self) -> int:
        return self.kinds.share()

    @cached_property
    def by_lines(self) -> Course:
        """What the lines alone show."""
        return course_by_lines(*(edition.read for edition in self.editions))

    def whole_by_lines(self) -> Course:
        return NOTHING if self.conditions else self.by_lines

    @property
    def settled_by_lines(self) -> bool:
        """Whether they show all that there is to know of who is GO."""
        whole = self.whole_by_lines()
        return whole.lost.decided and whole.gained.decided

    @cached_property
    def course(self) -> Course:
        old, new = (edition.read for edition in self.editions)
        if alike(old, new):
            return SAME
        parts = self._all_parts()
        course = course_of(
            self.editions,
            self.most,
            lambda side: whole_of(self.editions, parts, side) if parts and apart(old, new) else None,
            lambda side: self.kinds.shown(("lost", "gained")[side]) or self._by_parts(parts, side),
            self.kinds.shown("told"),
        )
        self.kinds.add(course)
        return course

    def _by_parts(self, parts: list[EventPart], side: int) -> Claim | None:
        return some_log(self.editions, parts, side) if parts else None

    def event(self, label: str) -> Course | None:
        """The event by itself; None where not both have it in play."""
        part = self._part(label)
        return None if part is None else part.course

    def event_by_lines(self, label: str) -> Course | None:
        """What is known of it without a further walk."""
        alone = self._alone(label)
        if alone is None:
            return None
        meanings, known = _meanings(alone), self.kinds.parts
        if meanings not in known:
            known[meanings] = EventPart(alone, course_by_lines(*(edition.read for edition in alone)), 0)
        return known[meanings].course

    def _all_parts(self) -> list[EventPart]:
        """The events by themselves where both editions have the same, several of them."""
        old, new = (edition.read for edition in self.editions)
        if not alike_in_events(old, new):
            return []
        return [part for event in old.events if (part := self._part(event.label)) is not None]

    def _part(self, label: str) -> EventPart | None:
        """What is known of an event by itself, once for all kinds for which it means the same."""
        alone = self._alone(label)
        if alone is None:
            return None
        meanings = _meanings(alone)
        if meanings not in self.kinds.parts:
            whole = meanings == _meanings(self.editions)
            course = self.course if whole else course_of(alone, self.most)
            self.kinds.parts[meanings] = EventPart(alone, course, self.most)
        return self.kinds.parts[meanings]

    def _alone(self, label: str) -> Editions | None:
        if label not in self._alone_editions:
            old, new = (self._one_alone(side, label) for side in (0, 1))
            self._alone_editions[label] = None if old is None or new is None else (old, new)
        return self._alone_editions[label]

    def _one_alone(self, side: int, label: str) -> Edition | None:
        """Rule 26: one event alone with the `always` rules; None where it is not in play."""
        edition, machines = self.editions[side], self.kinds.machines
        event = next((event for event in edition.standard.events if event.label == label), None)
        if event is None or not in_play(event.clause, edition.facts):
            return None
        if (side, label) not in machines:
            machines[side, label] = compile_standard(with_one_event(edition.standard, event))
        machine = machines[side, label]
        return Edition(machine, edition.facts, _read(machine.standard, edition.facts))

    def whole(self) -> Course:
        """The course, and what conditions alone make of a log that is GO."""
        course = self.course
        if any(each.kind for each in self.conditions):
            return evolve(course, lost=_unless(course.lost), gained=_unless(course.gained))
        if any(each.both is None for each in self.conditions):  # one edition or the other makes every log VOID
            return Course(self._void(0), self._void(1), NONE)
        lost, gained = (
            shorter([claim, self._void(side)]) for side, claim in enumerate((course.lost, course.gained))
        )
        return evolve(course, lost=lost, gained=gained)

    def passed(self, side: int) -> bool | None:
        """Whether some log of marks both know is GO on one side; None: not known."""
        return (self.course.lost, self.course.gained)[side].word or self._passing(side).word

    def _passing(self, side: int) -> Claim:
        if side not in self._passes:
            known = (self.course.lost, self.course.gained)[side].shown
            self._passes[side] = passing_log(self.editions, side, self.kinds.share(), known)
            self.kinds.add_passing(self._passes[side])
        return self._passes[side]

    def _void(self, side: int) -> Claim:
        """That some log is GO on one side and, by what is stated of conditions, VOID on the other."""
        stated = void_by(self.conditions, side)
        if not stated:
            return NONE
        passes = self._passing(side)
        if passes.shown is None:
            return passes
        log = passes.shown.old_log
        void = lone_go(shown(self.editions, (log.entries, log.end), stated), side)
        return UNKNOWN if void is None else Claim(void, True, passes.shortest)


def _meanings(editions: Editions) -> object:
    return tuple(_meaning(edition.read) for edition in editions)


def _meaning(read: Standard) -> object:
    return bare_frame(read), bare(read.events)


def _unless(claim: Claim) -> Claim:
    return claim if claim.shown is not None else UNKNOWN
