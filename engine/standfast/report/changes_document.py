"""What was changed clause by clause, and whom it changes, as parts of the JSON document of a comparison."""

from collections.abc import Iterable

from standfast.difference.clauses import ClauseChange, Said
from standfast.difference.impact import Impact, Worth
from standfast.report.changes_text import by_rule, edition_of
from standfast.report.documents import Plain
from standfast.verdict import Outcome


def changes_document(changes: Iterable[ClauseChange]) -> list[Plain]:
    """See `changes` in `compare.schema.json`."""
    return [
        {
            "kind": change.kind.value,
            "points": change.points.value,
            "old": _said(change.old),
            "new": _said(change.new),
            "figures": [{"old": old, "new": new} for old, new in change.figures],
        }
        for change in changes
    ]


def _said(said: Said | None) -> Plain | None:
    if said is None:
        return None
    return {"path": said.path, "words": said.words, "text": said.told, "line": said.line}


def impact_document(impact: Impact | None) -> Plain | None:
    """See `impact` in `compare.schema.json`."""
    if impact is None:
        return None
    return {
        "logs": impact.logs,
        "compared": impact.compared,
        "otherwise": impact.otherwise,
        "table": _table(((was, now), count) for was, now, count in impact.table),
        "by_rule": [
            {"path": path, "edition": edition, "count": went.total(), "went": _table(went.most_common())}
            for path, edition, went in by_rule(impact)
        ],
        "changes": [
            {
                "log": change.log,
                "session": change.session,
                "candidate": change.candidate,
                "old": _worth(change.old),
                "new": _worth(change.new),
                "by": list(change.paths),
                "by_edition": edition_of(change),
            }
            for change in impact.changes
        ],
        "apart": [
            {
                "why": apart.why.value,
                "what": apart.what,
                "count": apart.count,
                "passed": apart.passed,
                "logs": list(apart.logs),
            }
            for apart in impact.apart
        ],
    }


def _table(went: Iterable[tuple[tuple[Outcome, Outcome], int]]) -> list[Plain]:
    return [{"old": was.value, "new": now.value, "count": count} for (was, now), count in went]


def _worth(worth: Worth) -> Plain:
    return {"outcome": worth.outcome.value, "grade": worth.grade, "points": worth.points}
