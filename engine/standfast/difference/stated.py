"""What an edition states, row by row, under the clause it is stated of."""

from collections.abc import Iterable, Iterator
from enum import Enum
from functools import cached_property

from standfast.difference.facets import Facet, facets
from standfast.difference.placing import placed
from standfast.model.rules import Fault, Goal, Limit, RestBound, Rounds, Rule, Score, Start
from standfast.model.standard import Best, Clause, Condition, Event, Fact, Grade, Kind, Mark, Standard, bounds
from standfast.source import Span
from standfast.values import field, frozen


class Sort(Enum):
    """What a row states."""

    SETTING = "setting"
    FACT = "candidate's fact"
    CONDITION = "condition"
    MARK = "mark"
    REST = "rest"
    START = "start"
    GOAL = "goal"
    LIMIT = "limit"
    SCORE = "score"
    FAULT = "fault"
    TOLD = "text"  # what is only told and decides nothing: a caution, guidance


DECLARED = (Sort.FACT, Sort.CONDITION, Sort.MARK)
"""Rows whose name is all that tells them apart, and whose order means nothing."""


@frozen
class Setting:
    """A line that is there once at most: `attempts 2`, `carry on`, how a clause is completed."""

    name: str
    value: object


@frozen(kw_only=True, slots=False)
class Row:
    """One line. `label` tells it from others of its sort, empty where there is one at most; `told` is its text."""

    sort: Sort
    label: str
    path: str
    words: str
    told: str = ""
    thing: Rule | Setting | Fact | Mark
    span: Span = field(eq=False, repr=False)

    @cached_property
    def facets(self) -> tuple[Facet, ...]:
        return facets(self.thing)


class PartSort(Enum):
    TEST = "test"
    ALWAYS = "always"
    GRADE = "grade"
    EVENT = "event"
    CLAUSE = "clause"


@frozen(kw_only=True, slots=False)
class Part:
    """An event, step or group, a grade, `always` or the whole test, with its own rows and the parts in it.

    `words` is its first line without its title.
    """

    sort: PartSort
    label: str
    path: str
    words: str
    rows: tuple[Row, ...]
    parts: "tuple[Part, ...]" = ()
    kind: Kind | None = None
    span: Span = field(eq=False, repr=False)

    def walk(self) -> "Iterator[Part]":
        yield self
        for part in self.parts:
            yield from part.walk()

    @cached_property
    def content(self) -> object:
        """All that is meant inside; equal of two parts that say the same under other labels."""
        rows = tuple((row.sort, row.facets) for row in self.rows if row.sort is not Sort.TOLD)
        return self.sort, rows, tuple((part.label, part.content) for part in self.parts)


def stated(standard: Standard) -> Part:
    """The whole standard; its name, edition and date are not stated, nor are its worked cases."""
    return Part(
        sort=PartSort.TEST,
        label="",
        path="",
        words="the whole test",
        rows=tuple(_header(standard)),
        parts=tuple(_parts(standard)),
        span=standard.span,
    )


def _header(standard: Standard) -> Iterator[Row]:
    span = standard.span
    yield _told("title", standard.title, span, words=f"standard {standard.name}")
    yield _told("authority", standard.authority or "", span)
    yield _told("caution", "\n".join(standard.cautions), span)
    yield _told("guidance", "\n".join(standard.guidance), span)
    settings = (
        ("carry on", standard.carry_on),
        ("events in any order", standard.events_in_any_order),
        ("owed at the end fails", standard.owed_fails),
    )
    yield from (_setting(words, "", words, True, span) for words, holds in settings if holds)
    within = standard.times_within
    if within is not None:
        yield _setting("times within", "", f"times within {within}", within, span)
    for fact in standard.facts:
        yield Row(
            sort=Sort.FACT,
            label=fact.name,
            path=fact.path,
            words=fact.words,
            told=fact.title or "",
            thing=fact,
            span=fact.span,
        )
    yield from _rules(standard.conditions, "conditions")
    for mark in standard.marks:
        yield Row(
            sort=Sort.MARK,
            label=mark.name,
            path=f"marks.{mark.name}",
            words=mark.words,
            told=mark.title,
            thing=mark,
            span=mark.span,
        )


def _parts(standard: Standard) -> Iterator[Part]:
    always = tuple(_rules((*standard.always.limits, *standard.always.faults), "always"))
    yield Part(
        sort=PartSort.ALWAYS, label="always", path="always", words="always", rows=always, span=standard.span
    )
    yield from (_grade(grade) for grade in standard.grades)
    yield from (_event(event) for event in standard.events)


def _grade(grade: Grade) -> Part:
    path, words = f"grades.{grade.name}", f"grade {grade.name}"
    rows = (_told("title", grade.title or "", grade.span, path, words), *_rules(grade.limits, path))
    return Part(sort=PartSort.GRADE, label=grade.name, path=path, words=words, rows=rows, span=grade.span)


def _event(event: Event) -> Part:
    clause = event.clause
    number = "without limit" if event.attempts is None else str(event.attempts)
    rows = [
        _setting("attempts", clause.path, f"attempts {number}", event.attempts, clause.span),
        *([_setting("carry on", clause.path, "carry on", True, clause.span)] if event.carry_on else []),
        *([] if event.best is None else _rules([event.best], clause.path)),
        *([] if event.rest_between is None else _rules(bounds(event.rest_between), clause.path)),
        *_rules(event.conditions, clause.path),
    ]
    return _clause(clause, PartSort.EVENT, rows)


def _clause(clause: Clause, sort: PartSort, before: Iterable[Row] = ()) -> Part:
    head = f"{'event' if sort is PartSort.EVENT else clause.kind.value} {clause.label}"
    return Part(
        sort=sort,
        label=clause.label,
        path=clause.path,
        words=head,
        rows=(*_clause_settings(clause, head), *before, *_rules(clause.rules(), clause.path)),
        parts=tuple(_clause(item, PartSort.CLAUSE) for item in clause.items),
        kind=clause.kind,
        span=clause.span,
    )


def _clause_settings(clause: Clause, head: str) -> Iterator[Row]:
    yield _setting("kind", clause.path, head, clause.kind, clause.span, clause.title or "")
    yield _told("guidance", "\n".join(clause.guidance), clause.span, clause.path)
    if clause.only_for is not None:
        yield _setting("only for", clause.path, clause.only_for.words, clause.only_for, clause.only_for.span)
    if clause.only_if_begun:
        yield _setting("only if begun", clause.path, "only if begun", True, clause.span)
    if clause.rounds is not None:
        rounds = clause.rounds
        yield _setting("rounds", clause.path, _rounds_words(rounds), rounds.rounds, clause.span, _pace(rounds))
        yield _setting("tries", clause.path, f"tries {rounds.tries}", rounds.tries, clause.span)
        if rounds.unmarked is not None:
            words = f"unmarked rounds are {rounds.unmarked.value}"
            yield _setting("unmarked", clause.path, words, rounds.unmarked, clause.span)


def _rounds_words(rounds: Rounds) -> str:
    named = [each.words for each in rounds.rounds]
    if len(named) <= 6:
        return f"rounds {', '.join(named)}"
    return f"{len(named)} rounds, {named[0]} to {named[-1]}"


def _pace(rounds: Rounds) -> str:
    paces = dict.fromkeys(str(each.pace) for each in rounds.rounds if each.pace is not None)
    over = "" if rounds.paced is None else f"paced over {rounds.paced}"
    return ", ".join([*([over] if over else []), *paces])


def _setting(name: str, path: str, words: str, value: object, span: Span, told: str = "") -> Row:
    setting = Setting(name, value)
    place = path or name.replace(" ", "_")
    where = placed(span, words)
    return Row(sort=Sort.SETTING, label=name, path=place, words=words, told=told, thing=setting, span=where)


def _told(name: str, text: str, span: Span, path: str = "", words: str = "") -> Row:
    thing, place = Setting(name, None), path or name
    said = words or name
    where = placed(span, said)
    return Row(sort=Sort.TOLD, label=name, path=place, words=said, told=text, thing=thing, span=where)


def _rules(rules: Iterable[Rule], path: str) -> Iterator[Row]:
    """The rows of rules with paths that begin with this one."""
    for rule in rules:
        sort = _sort(rule)
        single = sort in (Sort.START, Sort.GOAL)
        label = "" if single or isinstance(rule, Best) else rule.path.removeprefix(f"{path}.")
        yield Row(
            sort=sort,
            label=label,
            path=rule.path,
            words=_words(rule),
            told=rule.sentence or "",
            thing=rule,
            span=rule.span,
        )


def _sort(rule: Rule) -> Sort:
    match rule:
        case Condition():
            return Sort.CONDITION
        case RestBound():
            return Sort.REST
        case Start():
            return Sort.START
        case Limit():
            return Sort.LIMIT
        case Fault():
            return Sort.FAULT
        case Score():
            return Sort.SCORE
        case Best():
            return Sort.SETTING
        case _:
            assert isinstance(rule, Goal)
            return Sort.GOAL


def _words(rule: Rule) -> str:
    """The line as it would be cited, with what the words cited leave out."""
    match rule:
        case RestBound() if rule.says_breach and ", else " not in rule.words:
            at_once = " at once" if rule.at_once else ""
            charged = ", charged" if rule.charged else ""
            return f"{rule.words}, else {rule.effect.value}{at_once}{charged}"
        case Score():
            last = "otherwise fails" if rule.otherwise is None else f"otherwise gives {rule.otherwise}"
            return f"{rule.words}: {'; '.join([*(row.words for row in rule.rows), last])}"
        case _:
            return rule.words
