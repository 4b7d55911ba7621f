"""Whom a revision would have changed, as it stands on its page: tables, and everyone by name."""

from collections.abc import Iterator, Sequence

from standfast.difference.clauses import ChangeKind, ClauseChange
from standfast.difference.impact import Change, Impact
from standfast.report.brief.spoken import counted, sentence
from standfast.report.changes_text import (
    apart_words,
    by_rule,
    edition_of,
    otherwise_words,
    outcome_words,
    went_words,
)
from standfast.values import frozen
from standfast.verdict import Outcome, Owed


@frozen(kw_only=True)
class Person:
    """One who changes; `log` is its name after what all have in common."""

    candidate: str
    session: str
    log: str
    by: str


@frozen(kw_only=True)
class Rule:
    """A rule that some change by; `changed` says whether it was itself, or what was around it.

    `went`: from what to what, and how many of them.
    """

    path: str
    edition: str
    changed: str
    went: tuple[tuple[str, int], ...]
    count: int


@frozen(kw_only=True)
class Archive:
    """`table` has how many went from what to what; `people` those who change, by that; `place` where the logs lie.

    `twice` says how many change by several rules, `words` what the outcomes mean that somebody changes to or from.
    """

    summary: str
    otherwise: str
    table: tuple[tuple[str, str, int, bool], ...]
    rules: tuple[Rule, ...]
    twice: str
    words: tuple[str, ...]
    people: tuple[tuple[str, tuple[Person, ...]], ...]
    place: str
    apart: tuple[str, ...]


_OUTCOMES = {
    Outcome.UNFINISHED: "UNFINISHED: the log ends before the edition has decided. Where the log is whole,"
    " something is owed that nobody was asked for then, such as another attempt that this edition would allow.",
    Outcome.VOID: "VOID: a condition of the edition was not met, so that nothing counts.",
}


def weighed_archive(impact: Impact, changes: Sequence[ClauseChange]) -> Archive:
    logs, compared = counted(impact.logs, "log", "logs"), counted(impact.compared, "candidate", "candidates")
    place = _place([change.log for change in impact.changes])
    twice = sum(len(change.paths) > 1 for change in impact.changes)
    reached = {each.outcome for change in impact.changes for each in (change.old, change.new)}
    return Archive(
        summary=f"{logs}, {compared} graded under both editions.",
        otherwise=sentence(otherwise_words(impact)) if impact.otherwise else "",
        table=tuple((was.value, now.value, count, was is not now) for was, now, count in impact.table),
        rules=tuple(_rules(impact, changes)),
        twice=f"{twice} change by several rules and are counted with each." if twice else "",
        words=tuple(words for outcome, words in _OUTCOMES.items() if outcome in reached),
        people=tuple(
            (went, tuple(_person(change, place) for change in some)) for went, some in _by_change(impact).items()
        ),
        place=place,
        apart=tuple(map(apart_words, impact.apart)),
    )


def _rules(impact: Impact, changes: Sequence[ClauseChange]) -> Iterator[Rule]:
    owed = {each.path for change in impact.changes for each in change.by if isinstance(each, Owed)}
    for path, edition, went in by_rule(impact):
        changed = "no rule: still owed" if path in owed else _changed(path, edition, changes)
        told = tuple((outcome_words(each), count) for each, count in went.most_common())
        yield Rule(path=path, edition=edition, changed=changed, went=told, count=went.total())


def _changed(path: str, edition: str, changes: Sequence[ClauseChange]) -> str:
    around = []
    for change in changes:
        said = change.new if edition == "new" else change.old
        if change.kind is ChangeKind.WORDED or said is None:
            continue
        if said.path == path:
            return "changed"
        if path.startswith(f"{said.path}.") and change.old is not None and change.new is not None:
            around.append(f"{change.old.words}, then {change.new.words}")
    return "; ".join(["not changed itself", *([f"around it: {', '.join(around)}"] if around else [])])


def _by_change(impact: Impact) -> dict[str, list[Change]]:
    """Those who change, by from what to what, the most first."""
    found: dict[str, list[Change]] = {}
    for change in impact.changes:
        found.setdefault(went_words(change), []).append(change)
    return dict(sorted(found.items(), key=lambda each: -len(each[1])))


def _place(logs: Sequence[str]) -> str:
    """What the names of all logs begin with, up to a folder or an archive."""
    first, last = min(logs, default=""), max(logs, default="")
    same = next((n for n, (a, b) in enumerate(zip(first, last, strict=False)) if a != b), 0)
    return first[
        : max(first.rfind(mark, 0, same) + len(mark) if mark in first[:same] else 0 for mark in ("/", ": "))
    ]


def _person(change: Change, place: str) -> Person:
    return Person(
        candidate=change.candidate,
        session=change.session,
        log=change.log.removeprefix(place),
        by=f"{', '.join(change.paths)} ({edition_of(change)} edition)" if change.paths else "what a GO is worth",
    )
