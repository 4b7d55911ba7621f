"""What was changed clause by clause, and whom it changes, as plain text for a terminal."""

from collections import Counter
from collections.abc import Iterator, Sequence

from standfast.difference.clauses import ChangeKind, ClauseChange, Said
from standfast.difference.impact import Apart, Change, Impact, Worth
from standfast.difference.pointing import Points
from standfast.report.brief.spoken import counted
from standfast.report.lines import folded
from standfast.verdict import Outcome

Went = Counter[tuple[Outcome, Outcome]]
"""How many went from which outcome to which."""


def changes_text(changes: Sequence[ClauseChange]) -> list[str]:
    """Every change with both lines; a heading first."""
    if not changes:
        return folded("clause by clause: nothing was changed")
    lines = folded(f"clause by clause: {counted(len(changes), 'change', 'changes')}")
    return [*lines, *(line for change in changes for line in _change(change))]


def _change(change: ClauseChange) -> Iterator[str]:
    yield from folded(change_words(change), 2)
    for which, said in (("old", change.old), ("new", change.new)):
        if said is not None:
            yield from folded(f"{which}, line {said.line}: {said_words(change, said)}", 6)


def change_words(change: ClauseChange) -> str:
    """`altered, harder: throws.within`."""
    points = "" if change.points is Points.NEITHER else f", {change.points.value}"
    return f"{change.kind.value}{points}: {where(change)}"


def where(change: ClauseChange) -> str:
    """The path in the edition that has it; of one with two paths both."""
    was = "" if change.old is None else change.old.path
    now = change.path
    if not now:
        return "the whole test"
    return f"{now} (was {was})" if was and was != now else now


def said_words(change: ClauseChange, said: Said) -> str:
    """What the line says; of a change of wording its text, of a clause that moved also what it is in."""
    if change.kind is ChangeKind.MOVED and change.old and change.new and change.old.path != change.new.path:
        around = said.path.rpartition(".")[0]
        return f"{said.words}, in {around}" if around else said.words
    if change.kind is not ChangeKind.WORDED:
        return said.words
    return "no text" if not said.told else "; ".join(f'"{text}"' for text in said.told.split("\n"))


# --- whom it changes -----------------------------------------------------------------------------------------


def impact_text(impact: Impact) -> list[str]:
    """The table, the list of who changes, and what is counted apart."""
    logs, candidates = counted(impact.logs, "log", "logs"), counted(impact.compared, "candidate", "candidates")
    lines = folded(f"the archive: {logs}, {candidates} graded under both editions")
    lines += [f"  {'old':<12}{'new':<12}{'candidates':>10}"] if impact.table else []
    lines += [f"  {was.value:<12}{now.value:<12}{count:>10}" for was, now, count in impact.table]
    if impact.otherwise:
        lines += folded(otherwise_words(impact), 2)
    lines += folded(go_words(impact), 2) if impact.table else []
    for path, edition, went in by_rule(impact):
        told = "; ".join(f"{count}: {outcome_words(each)}" for each, count in went.most_common())
        number = counted(went.total(), "candidate", "candidates")
        lines += folded(f"by {path} of the {edition} edition: {number}", 2)
        lines += folded(told, 6)
    lines += ["", *folded("who changes")] if impact.changes else []
    for change in impact.changes:
        lines += folded(f"candidate {change.candidate}, session {change.session}: {went_words(change)}", 2)
        lines += folded(f"{by_words(change)}; log {change.log}", 6)
    lines += ["", *folded("counted apart")] if impact.apart else []
    lines += [line for apart in impact.apart for line in folded(apart_words(apart), 2)]
    return lines


def go_words(impact: Impact) -> str:
    old, new = (sum(row[2] for row in impact.table if row[side] is Outcome.GO) for side in (0, 1))
    gain, lose = (
        sum(count for was, now, count in impact.table if (was is Outcome.GO, now is Outcome.GO) == way)
        for way in ((False, True), (True, False))
    )
    return f"GO under the old edition: {old}, under the new: {new} ({gain} gain it, {lose} lose it)"


def by_rule(impact: Impact) -> list[tuple[str, str, Went]]:
    """How many change by each rule of which edition, from what to what; by several: counted with each.

    The rule by which most change is the first.
    """
    found: dict[tuple[str, str], Went] = {}
    for change in impact.changes:
        for path in change.paths:
            found.setdefault((path, edition_of(change)), Counter())[change.old.outcome, change.new.outcome] += 1
    every = ((*rule, went) for rule, went in found.items())
    return sorted(every, key=lambda each: (-each[2].total(), each[:2]))


def outcome_words(went: tuple[Outcome, Outcome]) -> str:
    return f"{went[0].value}, then {went[1].value}"


def otherwise_words(impact: Impact) -> str:
    return f"of those who do not change, {impact.otherwise} have the same outcome by other rules"


def edition_of(change: Change) -> str:
    return "new" if change.by_new else "old"


def went_words(change: Change) -> str:
    return f"{worth_words(change.old)}, then {worth_words(change.new)}"


def worth_words(worth: Worth) -> str:
    grade = "" if worth.grade is None else f", {worth.grade}"
    points = "" if worth.points is None else f", {worth.points} points"
    return f"{worth.outcome.value}{grade}{points}"


def by_words(change: Change) -> str:
    """`by throws.within of the new edition`."""
    if not change.by:
        return "by what a GO is worth"
    return f"by {', '.join(change.paths)} of the {edition_of(change)} edition"


def apart_words(apart: Apart) -> str:
    what = f": {apart.what}" if apart.what else ""
    more = " and others" if apart.count > len(apart.logs) else ""
    passed = f", {apart.passed} of them GO under the other edition" if apart.passed else ""
    return f"{apart.count} {apart.why.value}{what}{passed}; {', '.join(apart.logs)}{more}"
