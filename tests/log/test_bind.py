"""A log understood by a standard: what is known, what is measured, what is refused."""

import json
from fractions import Fraction

import pytest
from attrs import evolve

from standfast.diagnostic import Diagnostic
from standfast.log.bind import bind
from standfast.log.entry import SessionLog
from standfast.log.reader import read_log
from standfast.model.rules import Counting, Until
from standfast.model.standard import Standard
from standfast.quantity import Quantity, count


def bound(
    standard: Standard, entries: list[dict[str, object]], /, **header: object
) -> tuple[SessionLog | None, tuple[Diagnostic, ...]]:
    first = {"session": "S", "standard": "check", "candidate": "C-1"} | header
    lines = [json.dumps(each, ensure_ascii=False) for each in (first, *entries)]
    raw, found = read_log("log.jsonl", "\n".join(lines).encode())
    assert found == ()
    assert raw is not None
    return bind(raw, standard)


def entry(mark: str, value: object = None) -> dict[str, object]:
    return {"at": "0:00", "mark": mark} | ({} if value is None else {"value": value})


def said(diagnostics: tuple[Diagnostic, ...]) -> list[tuple[str, str, str]]:
    """Code, what the span stands on, and the message."""
    return [(d.code.number, d.span.text, d.message) for d in diagnostics if d.span is not None]


def base(value: object) -> Fraction:
    assert isinstance(value, Quantity)
    return value.base


def test_a_log_is_understood(standard: Standard) -> None:
    log, diagnostics = bound(
        standard,
        [entry("go"), entry("check", "fuel"), entry("line_in", "40 m"), entry("ashore")],
        edition="2.1",
        conditions={"depth": "3.2 m", "lookouts": 3, "aid": True, "wind": "11.5 kt"},
        grader="G-2",
        started="2026-04-11T09:00:00+01:00",
    )
    assert diagnostics == ()
    assert log is not None
    assert (log.session, log.standard, log.edition, log.candidates) == ("S", "check", "2.1", ("C-1",))
    assert (log.grader, log.started) == ("G-2", "2026-04-11T09:00:00+01:00")
    assert [(e.number, e.line, e.mark, e.candidate) for e in log.entries] == [
        (1, 2, "go", "C-1"),
        (2, 3, "check", "C-1"),
        (3, 4, "line_in", "C-1"),
        (4, 5, "ashore", "C-1"),
    ]
    assert log.entries[1].value == "fuel"
    assert base(log.entries[2].value) == 40
    assert (base(log.conditions["depth"]), log.conditions["lookouts"]) == (Fraction(16, 5), count(3))
    assert (log.conditions["aid"], base(log.conditions["wind"])) == (True, Fraction(23, 2) * Fraction(1852, 3600))


def test_what_is_not_stated_is_no_error(standard: Standard) -> None:
    log, diagnostics = bound(standard, [])
    assert diagnostics == ()
    assert log is not None
    assert log.conditions == {}


@pytest.mark.parametrize(
    ("mark", "value", "amount"),
    [
        ("line_in", "40 m", Fraction(40)),
        ("line_in", "0.1 m", Fraction(1, 10)),
        ("line_in", "0.000001 m", Fraction(1, 1_000_000)),
        ("line_in", "0 m", Fraction(0)),
        ("line_in", "007.50 ft", Fraction(15, 2) * Fraction(3048, 10_000)),
        ("line_in", "1  nmi", Fraction(1852)),
        ("held", "1 min 40 s", Fraction(100_000_000)),
        ("held", "1 h 0.5 s", Fraction(3_600_500_000)),
        ("held", "250 ms", Fraction(250_000)),
    ],
)
def test_measures_are_exact(standard: Standard, mark: str, value: str, amount: Fraction) -> None:
    log, diagnostics = bound(standard, [entry(mark, value)])
    assert diagnostics == ()
    assert log is not None
    assert base(log.entries[0].value) == amount


@pytest.mark.parametrize(
    ("mark", "value", "code", "message"),
    [
        ("gone", None, "L462", "the mark `gone` is not declared in `check`"),
        ("check", "fule", "L463", "`fule` is not a value of `check`"),
        ("check", None, "L464", "`check` without a value"),
        ("line_in", None, "L464", "`line_in` without a value"),
        ("go", "now", "L465", "the value `now` for `go`, which takes none"),
        ("line_in", 40, "L466", "`40` for `line_in` has no unit"),
        ("line_in", "40", "L466", "`40` for `line_in` has no unit"),
        ("line_in", "40 meters", "L467", "unknown unit `meters` in `40 meters`"),
        ("line_in", f"4 {'k' * 500}", "L467", f"unknown unit `{'k' * 59}…` in `4 {'k' * 57}…`"),
        ("line_in", "40 kg", "L468", "`40 kg` for `line_in` is a measure of mass, not of length"),
        ("line_in", "40m", "L469", "`40m` for `line_in` is not a measure"),
        ("line_in", "40,5 m", "L469", "`40,5 m` for `line_in` is not a measure"),
        ("line_in", "forty m", "L469", "`forty m` for `line_in` is not a measure"),
        ("line_in", ".5 m", "L469", "`.5 m` for `line_in` is not a measure"),
        ("line_in", "4e1 m", "L469", "`4e1 m` for `line_in` is not a measure"),
        ("line_in", "٤ m", "L469", "`٤ m` for `line_in` is not a measure"),
        ("line_in", "1 m 40 cm", "L469", "`1 m 40 cm` for `line_in` is not a measure"),
        ("held", "40 s 1 min", "L469", "`40 s 1 min` for `held` is not a measure"),
        ("held", "1 s 1 s", "L469", "`1 s 1 s` for `held` is not a measure"),
        ("line_in", "-1 m", "L470", "`-1 m` for `line_in` is negative"),
        ("line_in", -1, "L470", "`-1` for `line_in` is negative"),
        ("line_in", "0.1234567 m", "L433", "`0.1234567 m` has 7 decimals, more than six"),
        ("line_in", "1000000000000 m", "L438", "`1000000000000 m` has a number of more than 12 digits"),
    ],
)
def test_entries_that_are_refused(standard: Standard, mark: str, value: object, code: str, message: str) -> None:
    log, diagnostics = bound(standard, [entry("go"), entry(mark, value)])
    assert log is None
    # The finding stands on the mark where there is no value, else on the value.
    assert said(diagnostics) == [(code, mark if value is None or code == "L462" else str(value), message)]
    assert diagnostics[0].span is not None
    assert diagnostics[0].span.line == 3
    assert diagnostics[0].help


@pytest.mark.parametrize(
    ("name", "value", "code", "message"),
    [
        ("dephts", "3 m", "L471", "the condition `dephts` is not declared in `check`"),
        ("aid", "yes", "L472", "found `yes` for `aid`, which takes `true` or `false`"),
        ("aid", 1, "L472", "found `1` for `aid`, which takes `true` or `false`"),
        ("lookouts", 2.5, "L473", "found `2.5` for `lookouts`, which takes a whole number"),
        ("lookouts", -2, "L473", "found `-2` for `lookouts`, which takes a whole number"),
        ("lookouts", "2 m", "L473", "found `2 m` for `lookouts`, which takes a whole number"),
        ("lookouts", True, "L473", "found `true` for `lookouts`, which takes a whole number"),
        ("depth", True, "L474", "found `true` for `depth`, which takes a measure"),
        ("depth", 3.2, "L466", "`3.2` for `depth` has no unit"),
        ("wind", "5 m", "L468", "`5 m` for `wind` is a measure of length, not of speed"),
        ("depth", "3.2 lb", "L468", "`3.2 lb` for `depth` is a measure of mass, not of length"),
    ],
)
def test_conditions_that_are_refused(
    standard: Standard, name: str, value: object, code: str, message: str
) -> None:
    log, diagnostics = bound(standard, [entry("go")], conditions={name: value})
    assert log is None
    place = name if code == "L471" else value if isinstance(value, str) else json.dumps(value)
    assert said(diagnostics) == [(code, place, message)]


def test_helps_name_what_is_near(standard: Standard) -> None:
    entries = [entry("Ashor"), entry("check", "fule"), entry("line_in", "4 metre"), entry("line_in", 4)]
    _, diagnostics = bound(standard, entries, conditions={"dephts": "3 m"})
    assert [d.help for d in diagnostics] == [
        "write `depth`, if that is meant",
        "write `ashore`, if that is meant",
        "write `fuel`, if that is meant",
        "use a unit of length: `km`, `m`, `cm`, `mm`, `nmi`, `mi`, `yd`, `ft`, `inch`",
        'write it as a text with a unit of length, such as `"4 m"`',
    ]


def test_an_entry_of_a_mark_counted_once_a_grader_says_by_whom(standard: Standard) -> None:
    event = standard.events[0]
    goal = event.clause.goal
    assert isinstance(goal, Until)
    panel = evolve(goal, number=2, counting=Counting(once_a_grader=True))
    graded = evolve(standard, events=(evolve(event, clause=evolve(event.clause, goal=panel)),))
    log, diagnostics = bound(graded, [entry("go"), entry("ashore") | {"by": "G-1"}, entry("ashore")], grader="G-2")
    assert log is None
    assert said(diagnostics) == [
        ("L475", "ashore", "`ashore` is counted once a grader, and this entry does not say by whom")
    ]
    log, diagnostics = bound(graded, [entry("go"), entry("ashore") | {"by": "G-1"}])
    assert log is not None and diagnostics == ()


def test_another_standard_or_edition_is_not_looked_into(standard: Standard) -> None:
    _, diagnostics = bound(standard, [entry("unknown")], standard="other")
    assert [d.message for d in diagnostics] == ["the log is of the standard `other`, not of `check`"]
    _, diagnostics = bound(standard, [entry("unknown")], edition="2.0")
    assert [d.message for d in diagnostics] == ["the log is of edition `2.0` of `check`, not of `2.1`"]


def test_every_problem_is_found_in_one_run(standard: Standard) -> None:
    entries = [entry("gone") for _ in range(30)] + [entry("line_in", 4) for _ in range(30)]
    log, diagnostics = bound(standard, entries)
    assert log is None
    assert [d.code.number for d in diagnostics] == ["L462"] * 30 + ["L466"] * 20 + ["L499"]
    assert diagnostics[-1].message == "10 more problems in this log are not listed"


def test_candidates_of_the_entries(standard: Standard) -> None:
    lines = [
        {"session": "S", "standard": "check"},
        entry("go") | {"candidate": "all"},
        entry("ashore") | {"candidate": "C-2"},
        entry("ashore") | {"candidate": "C-1"},
    ]
    raw, _ = read_log("log.jsonl", "\n".join(json.dumps(line) for line in lines).encode())
    assert raw is not None
    log, _ = bind(raw, standard)
    assert log is not None
    assert log.candidates == ("C-2", "C-1")
    assert [e.candidate for e in log.entries] == [None, "C-2", "C-1"]
    assert [e.number for e in log.entries_for("C-1")] == [1, 3]


def test_a_listed_candidate_without_entries_stays(standard: Standard) -> None:
    lines = [
        {"session": "S", "standard": "check", "candidates": ["C-1", "C-2"]},
        entry("go") | {"candidate": "C-2"},
    ]
    raw, _ = read_log("log.jsonl", "\n".join(json.dumps(line) for line in lines).encode())
    assert raw is not None
    log, _ = bind(raw, standard)
    assert log is not None
    assert log.candidates == ("C-1", "C-2")


@pytest.mark.parametrize(
    ("name", "separator", "stated", "helped"),
    [
        ("aid", ",", "ja", "write `yes` or `no` into the cell"),
        ("depth", ";", "15,5", "write it with a unit of length into the cell, such as `15.5 m`"),
        (
            "depth",
            ",",
            "15,5",
            "write a number, with a point before decimals, a blank and a unit, such as `15.5 m`",
        ),
        ("depth", ",", "deep", "write a number, with a point before decimals, a blank and a unit, such as `40 m`"),
        (
            "depth",
            ",",
            "1,500 m",
            "write a number, with a point before decimals, a blank and a unit, such as `40 m`",
        ),
    ],
)
def test_the_help_is_what_a_table_takes(
    standard: Standard, name: str, separator: str, stated: str, helped: str
) -> None:
    row = separator.join
    head = f"# session: S\n# standard: check\n# candidate: C-1\n# condition {name}: {stated}\n"
    raw, found = read_log("a.csv", f"{head}{row(('at', 'mark'))}\n{row(('0:00.0', 'go'))}\n".encode())
    assert raw is not None and found == ()
    _, refused = bind(raw, standard)
    assert [d.help for d in refused] == [helped]
