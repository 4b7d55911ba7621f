"""How a verdict tells of the corrections of its log, in text and JSON."""

import json
from importlib.resources import files

from attrs import evolve
from jsonschema import Draft202012Validator

from standfast.log.entry import Correction, Stated
from standfast.report.documents import verdict_document, written
from standfast.report.verdict_text import verdict_text
from standfast.verdict import Outcome, Uncorrected, Verdict

STRIKE = Correction(
    of_end=False,
    place=7,
    line=8,
    on_line=12,
    by="G-2",
    why="wrong lane",
    before=Stated(at="1:32.4", mark="hand_down"),
    after=None,
)
AMEND = Correction(
    of_end=True,
    place=9,
    line=11,
    on_line=13,
    by="G\u202e-3",
    why="read\nagain",
    before=Stated(at="1:40"),
    after=Stated(at="1:41"),
)


def head(verdict: Verdict) -> str:
    return verdict_text(verdict).split("\n\n")[0].splitlines()[-1]


def test_the_head_says_whether_they_changed_the_verdict(no_go: Verdict) -> None:
    one = evolve(no_go, corrections=(STRIKE,), uncorrected=Uncorrected(outcome=Outcome.NO_GO, decided_at=1))
    assert head(one) == "1 correction: the verdict is NO-GO without it too"
    assert not one.changed_by_corrections
    two = evolve(
        one, corrections=(STRIKE, AMEND), uncorrected=Uncorrected(outcome=Outcome.GO, decided_at=62_000_000)
    )
    assert head(two) == "2 corrections changed the verdict: without them GO, decided at 1:02"
    graded = evolve(two, uncorrected=Uncorrected(outcome=Outcome.NO_GO, points=3))
    assert head(graded) == "2 corrections changed the verdict: without them NO-GO, 3 points"
    alone = evolve(two, uncorrected=Uncorrected(outcome=None))
    assert head(alone) == "2 corrections: without them the log gives no verdict"
    assert alone.changed_by_corrections


def test_each_is_listed_with_who_why_and_what(no_go: Verdict) -> None:
    verdict = evolve(no_go, corrections=(STRIKE, AMEND), uncorrected=Uncorrected(outcome=None))
    assert verdict_text(verdict).split("\ncorrections\n")[1].split("\n\n")[0].splitlines() == [
        "  entry 7 (line 8) struck by G-2 on line 12, because: wrong lane",
        "      it said: at `1:32.4`; mark `hand_down`",
        "  the end (line 11) amended by G\\u202e-3 on line 13, because: read\\x0aagain",
        "      now at `1:41` for `1:40`",
    ]
    assert "corrections" not in verdict_text(no_go)


def test_the_document_has_them(no_go: Verdict) -> None:
    without = Uncorrected(outcome=Outcome.GO, decided_at=1_000_000, points=4, grade="boat")
    document = json.loads(
        written(verdict_document(evolve(no_go, corrections=(STRIKE, AMEND), uncorrected=without)))
    )
    schema = json.loads(files("standfast.report").joinpath("verdict.schema.json").read_text("utf-8"))
    Draft202012Validator(schema).validate(document)
    assert document["without_corrections"] == {
        "changed": True,
        "outcome": "GO",
        "decided_at": "0:01.000000",
        "points": 4,
        "grade": "boat",
    }
    first, second = document["corrections"]
    assert (first["kind"], first["entry"], first["after"]) == ("strike", 7, None)
    assert (second["kind"], second["entry"], second["after"]["at"]) == ("amend", None, "1:41")
    assert json.loads(written(verdict_document(no_go)))["without_corrections"] is None
