"""What stands on the page of a revision: the verdict of the comparison, and all that it rests on."""

from collections import Counter
from collections.abc import Iterator, Sequence
from re import findall

from standfast.difference.clauses import ChangeKind, ClauseChange, Said
from standfast.difference.comparison import Comparison, EventComparison
from standfast.difference.conditions import Word
from standfast.difference.impact import Impact
from standfast.difference.pointing import Points
from standfast.difference.revision import Revision
from standfast.difference.texts import Beside
from standfast.report.brief.spoken import counted, listed, name, sentence
from standfast.report.cautions import ALWAYS, usual_cautions
from standfast.report.changes_text import (
    by_rule,
    go_words,
    said_words,
    where,
    worth_words,
)
from standfast.report.comparison_page.archive import Archive, weighed_archive
from standfast.report.comparison_page.witness import Witness, witnesses
from standfast.report.comparison_text import condition_words, mark_words, warnings
from standfast.values import frozen

_HEADLINES = {
    Word.SAME: "Whoever passes under one edition passes under the other.",
    Word.HARDER: "Some who pass under the old edition do not under the new, and nobody the other way round.",
    Word.EASIER: "Some who do not pass under the old edition do under the new, and nobody the other way round.",
    Word.MIXED: "Some pass under the old edition alone, and some under the new edition alone.",
    Word.NOT_DECIDED: "It is not decided whether the same people pass under both editions.",
}
_PROVED = (
    "Proved over every log that both editions can read. Below, one log shows each way in which a part differs;"
    " others may differ by other rules."
)
_MOST_RULES = 3
"""Of the rules that somebody changes by so many are named on top."""

_OPEN = "What is said below is all that is proved or shown."


@frozen(kw_only=True)
class Row:
    """A change: its kind, which way it points, the clause, and both lines with where they stand.

    `number`: of a change of wording, that a number in the words is another.
    """

    kind: str
    points: Points
    where: str
    old: str
    old_line: int | None
    new: str
    new_line: int | None
    number: bool


@frozen(kw_only=True)
class Section:
    """The whole test or an event: how the new edition stands to the old, why so, and the logs that show it."""

    name: str
    word: str
    notes: tuple[str, ...]
    witnesses: tuple[Witness, ...]


@frozen(kw_only=True)
class Page:
    title: str
    name: str
    old: str
    new: str
    old_digest: str
    new_digest: str
    word: str
    headline: str
    warnings: tuple[str, ...]
    proved: str
    changed: str
    whom: str
    sections: tuple[Section, ...]
    rows: tuple[Row, ...]
    conditions: tuple[str, ...]
    marks: tuple[str, ...]
    archive: Archive | None
    texts: Sequence[Beside]
    own: tuple[str, ...]
    usual: tuple[str, ...]


def revised(revision: Revision, texts: Sequence[Beside]) -> Page:
    """All that is on the page."""
    comparison, impact = revision.comparison, revision.impact
    old, new = comparison.old, comparison.new
    editions = (old.edition, new.edition) if old.edition != new.edition else ("(old)", "(new)")
    return Page(
        title=new.title,
        name=new.name,
        old=f"edition {old.edition}, in force from {old.in_force.isoformat()}",
        new=f"edition {new.edition}, in force from {new.in_force.isoformat()}",
        old_digest=old.digest,
        new_digest=new.digest,
        word=comparison.word.value,
        headline=_HEADLINES[comparison.word],
        warnings=tuple(sentence(each) for each in warnings(comparison)),
        proved=_OPEN if comparison.left_open else _PROVED,
        changed=_changed(revision.changes),
        whom="No archive of logs was looked at." if impact is None else _whom(impact),
        sections=tuple(_sections(comparison, editions)),
        rows=tuple(map(_row, sorted(revision.changes, key=_weight))),
        conditions=tuple(condition_words(change) for change in comparison.conditions),
        marks=tuple(mark_words(comparison)),
        archive=None if impact is None else weighed_archive(impact, revision.changes),
        texts=texts,
        own=tuple(dict.fromkeys((*new.cautions, *old.cautions))),
        usual=tuple(dict.fromkeys((*usual_cautions(new), *usual_cautions(old)))) or ALWAYS,
    )


def _changed(changes: Sequence[ClauseChange]) -> str:
    if not changes:
        return "Nothing was changed but comments, layout, units or the order of declarations."
    meant = [change for change in changes if change.kind is not ChangeKind.WORDED]
    worded = len(changes) - len(meant)
    points = Counter(change.points for change in meant)
    told = [f"{points[each]} {_POINTS[each]}" for each in Points if points[each]]
    told += [f"{worded} only in wording"] if worded else []
    return f"{counted(len(changes), 'change', 'changes')} clause by clause: {listed(told)}."


_POINTS = {Points.HARDER: "harder", Points.EASIER: "easier", Points.NEITHER: "neither harder nor easier"}


def _whom(impact: Impact) -> str:
    went = Counter((worth_words(each.old), worth_words(each.new)) for each in impact.changes)
    told = [f"{count} from {was} to {now}" for (was, now), count in went.most_common()]
    apart = sum(each.count for each in impact.apart)
    said = f"{counted(impact.compared, 'candidate', 'candidates')} of the archive graded under both editions"
    passed = sum(each.passed for each in impact.apart)
    said += f"; {apart} more {'is' if apart == 1 else 'are'} counted apart and not guessed" if apart else ""
    said += f", {passed} of them GO under the edition that lacks nothing" if passed else ""
    said = f"{said}. {go_words(impact)}. "
    if not told:
        return f"{said}Nobody changes."
    most = [f"`{path}` ({went.total()})" for path, _, went in by_rule(impact)[:_MOST_RULES]]
    rules = f" {'Most of them by' if len(most) == _MOST_RULES else 'By'} {listed(most)}." if most else ""
    return f"{said}{len(impact.changes)} change: {listed(told)}.{rules}"


def _sections(comparison: Comparison, editions: tuple[str, str]) -> Iterator[Section]:
    yield Section(
        name="The whole test",
        word=comparison.whole.word.value,
        notes=(),
        witnesses=tuple(witnesses(comparison.whole, editions)),
    )
    yield from (_event(event, comparison, editions) for event in comparison.events)


def _event(event: EventComparison, comparison: Comparison, editions: tuple[str, str]) -> Section:
    course, of = event.course, f"Event {name(event.label)} by itself"
    if course is None:
        only = [f"edition {editions[side]}" for side, there in enumerate((event.in_old, event.in_new)) if there]
        note = f"in {only[0]} alone" if len(only) == 1 else "for no candidate of both editions"
        return Section(name=of, word="", notes=(note,), witnesses=())
    if course == comparison.whole and len(comparison.events) == 1:
        return Section(name=of, word=course.word.value, notes=("as the whole test",), witnesses=())
    return Section(name=of, word=course.word.value, notes=(), witnesses=tuple(witnesses(course, editions)))


def _weight(change: ClauseChange) -> int:
    """Rows that point one way stand first, those of wording alone last."""
    if change.kind is ChangeKind.WORDED:
        return 2
    return int(change.points is Points.NEITHER)


def _row(change: ClauseChange) -> Row:
    return Row(
        kind=change.kind.value,
        points=change.points,
        where=where(change),
        old=_said(change, change.old),
        old_line=_line(change, change.old),
        new=_said(change, change.new),
        new_line=_line(change, change.new),
        number=change.kind is ChangeKind.WORDED and _numbers(change.old) != _numbers(change.new),
    )


def _line(change: ClauseChange, said: Said | None) -> int | None:
    """None where it says nothing."""
    return None if said is None or (change.kind is ChangeKind.WORDED and not said.told) else said.line


def _numbers(said: Said | None) -> list[str]:
    return [] if said is None else findall(r"\d+", said.told)


def _said(change: ClauseChange, said: Said | None) -> str:
    return "" if said is None else said_words(change, said)
