"""The boundary book: both sides of every number, both programs of one mind, of every standard at hand."""

from collections.abc import Callable
from fractions import Fraction
from functools import cache
from pathlib import Path

import pytest
from attrs import evolve
from environment import ROOT

from standfast.codes import boundary as codes
from standfast.definition import judge
from standfast.diagnostic import Diagnostic
from standfast.log.bind import bind
from standfast.log.entry import SessionLog
from standfast.log.reader import read_log
from standfast.model.rules import (
    Fault,
    FigureKind,
    For,
    Limit,
    RestBound,
    Rule,
    Score,
    Silence,
    Until,
    UntilTotals,
)
from standfast.model.standard import Clause, Condition, Standard
from standfast.pipeline import grade, load_standard
from standfast.proofing.book import Book, Page, Side
from standfast.proofing.boundary import PROVED, TEST, boundary_book
from standfast.proofing.cases import all_attempts, all_reasons
from standfast.proofing.edges import FINEST
from standfast.proofing.samples import Sample, samples
from standfast.proofing.survey import Surveys, numbered, surveyed
from standfast.quantity import SECOND, Comparison, Dimension
from standfast.report.rehearsal_text import book_text
from standfast.source import Source
from standfast.verdict import Outcome, ReasonKind, Verdict

Findings = Callable[[str], tuple[Diagnostic, ...]]

FILES = sorted(
    path
    for folder in ("standards", "tests/practitioner", "tests/published")
    for path in (ROOT / folder).rglob("*.standard")
)
IMPOSSIBLE = {("five_event_floors", "grades.general.points")}
"""What a published standard says and no log can break: sixty in each of five is three hundred in all."""

OF_EVERYBODY = [path for path in FILES if "\ncandidate\n" not in path.read_text(encoding="utf-8")]

HEAD = """\
standard small "Small"
    edition "1"
    in force from 2026-01-01

marks
    go "The signal"
    hit "A hit"
    slip "A slip"
    shout "A shout"
    load in kg "A load"
    knot is one of bowline, clove "A knot"

"""


def loaded(text: str) -> Standard:
    standard, found = load_standard(Source("a.standard", text))
    assert standard is not None, [(d.span and d.span.line, d.message) for d in found]
    return standard


def book_of(*lines: str) -> Book:
    return boundary_book(loaded(HEAD + "\n".join(lines) + "\n"))


@cache
def surveys_of_file(path: Path) -> Surveys:
    return surveyed(loaded(path.read_text(encoding="utf-8")))


@cache
def book_of_file(path: Path) -> Book:
    standard = loaded(path.read_text(encoding="utf-8"))
    return boundary_book(standard) if standard.facts else boundary_book(standard, surveys_of_file(path))


def page(book: Book, name: str) -> Page:
    return next(page for page in book.pages if page.name == name)


def at(page: Page, mark: str) -> list[str]:
    """The times of a mark in the page's log."""
    return [line.split()[0] for line in page.lines if line.split()[1] == mark]


def margins(verdict: Verdict, path: str) -> list[Fraction]:
    rows = [*verdict.figures, *(row for attempt in all_attempts(verdict) for row in attempt.figures)]
    return [row.margin.amount for row in rows if row.path == path]


# --- the standards at hand -------------------------------------------------------------------------------


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_every_clause_has_its_pair_and_both_programs_agree(path: Path) -> None:
    book = book_of_file(path)
    impossible = {pair_path for stem, pair_path in IMPOSSIBLE if stem == path.stem}
    missing = {pair.path: pair.missing for pair in book.pairs if pair.missing}
    assert missing == dict.fromkeys(impossible, ((Side.BROKEN, PROVED),))
    assert [page.name for page in book.pages if page.machine != page.definition] == []
    sides: dict[str, set[Side]] = {}
    for pair in book.pairs:
        sides.setdefault(pair.path, set()).update(side for side, _ in pair.pages)
    both, touched = {Side.KEPT, Side.BROKEN}, {Side.TRIGGERED, Side.SPARED}
    reached = {Side.REACHED, Side.SHORT}
    by_time = {c.rest.least.path for c in _clauses(book) if c.start is None and c.rest and c.rest.least}
    higher = {limit.path for grade in book.standard.grades[:-1] for limit in grade.limits}
    assert all(reached <= sides[path_] for path_ in higher)
    for path_ in set(numbered(book.standard)) - impossible - higher:
        assert both <= sides[path_] or (path_ in by_time and reached <= sides[path_])
    for rule in book.standard.rules():
        match rule:
            case Condition():
                assert both <= sides[rule.path]
            case Fault():
                assert both <= sides[rule.path] or touched <= sides[rule.path]
            case For() | UntilTotals():
                assert reached <= sides[rule.path]
            case Until(number=number) if number > 1:
                assert reached <= sides[rule.path]
            case Score():
                rows = [pair for pair in book.pairs if pair.path == rule.path]
                assert [pair.words for pair in rows] == [row.words for row in rule.rows]
                assert all(reached <= {side for side, _ in pair.pages} for pair in rows)
            case _:
                assert isinstance(rule, RestBound | Limit) is (rule.path in set(numbered(book.standard)))
    assert {event.label for event in book.standard.events} | {TEST} <= set(sides)


def _clauses(book: Book) -> list[Clause]:
    return [clause for event in book.standard.events for clause in event.clause.walk()]


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_every_page_shows_its_side_in_the_verdict_a_grader_gets(path: Path) -> None:
    """Read from the pages' bytes and graded anew, held against nothing but the verdict."""
    book = book_of_file(path)
    rules = {rule.path: rule for rule in book.standard.rules()}
    for page in book.pages:
        raw, found = read_log(page.name, page.data)
        assert raw is not None and not found
        log, found = bind(raw, book.standard)
        assert log is not None and not found
        (verdict,) = grade(book.standard, log)
        assert evolve(verdict, doubt=None) == page.machine  # of a boundary nothing is certain within a doubt
        _shows(book.standard, page, verdict, log, rules)


def _is_strict(rule: Rule) -> bool:
    """Whether the number itself breaks it, of what is not counted."""
    match rule:
        case Limit(test=test):
            counted = test.first.dimension is Dimension.COUNT
            return not counted and test.comparison in (Comparison.UNDER, Comparison.OVER)
        case Fault(trigger=Silence(or_more=or_more)):
            return or_more
        case _:
            return False


def _finest(standard: Standard, rule: Rule) -> Fraction:
    """The least that two figures can differ by: of a reading that is rounded, what it is rounded to."""
    if isinstance(rule, Limit) and any(part.kind is FigureKind.READING for part in rule.figure.all_parts()):
        marks = [standard.mark(part.mark or "") for part in rule.figure.all_parts()]
        joined = [mark.readings for mark in marks if mark is not None and mark.readings is not None]
        steps = [readings.rounding.step for readings in joined if readings.rounding is not None]
        if steps:
            return min(s.base / (SECOND if s.dimension is Dimension.TIME else s.unit).factor for s in steps)
    return FINEST


def _nothing_to_spare(rule: Rule, margin: Fraction, finest: Fraction) -> bool:
    """The least a log can tell apart where the number itself breaks it, else nought; a rate is never exact."""
    if isinstance(rule, Limit) and rule.figure.kind is FigureKind.RATE:
        return 0 <= margin < Fraction(1, 1000)
    return margin == (finest if _is_strict(rule) else 0)


def _just_broken(rule: Rule, margin: Fraction, finest: Fraction) -> bool:
    if isinstance(rule, Limit) and rule.figure.kind is FigureKind.RATE:
        return Fraction(-1, 1000) < margin <= 0
    return margin in ((0, -finest) if _is_strict(rule) else (-1, -finest))


def _lacks_points_alone(verdict: Verdict, rules: dict[str, Rule]) -> bool:
    """Whether every event is GO, and only the points of the whole test are too few."""
    of_points = [rules[reason.path] for reason in verdict.reasons]
    gone = all(event.outcome is Outcome.GO for event in verdict.events)
    return (
        gone
        and bool(of_points)
        and all(isinstance(r, Limit) and r.figure.kind is FigureKind.POINTS for r in of_points)
    )


def _gives_its_points(page: Page, verdict: Verdict, score: Score) -> bool:
    """Whether the row of the page gives its points, or a floor says that the clause had just these."""
    (row,) = (row for row in score.rows if row.words == page.words)
    floor = f"{page.path.rpartition('.')[0]}.points"
    had = [r.figure.amount for r in all_reasons(verdict) if r.path == floor and r.figure is not None]
    given = [each for attempt in all_attempts(verdict) for each in attempt.scores if each.path == page.path]
    return row.points in had or [each.words for each in given] == [row.words]


def _shows(standard: Standard, page: Page, verdict: Verdict, log: SessionLog, rules: dict[str, Rule]) -> None:
    reasons = [reason for reason in all_reasons(verdict) if reason.path == page.path]
    rule = rules.get(page.path.removesuffix(".at_most"))
    match page.side:
        case Side.KEPT if isinstance(rule, Condition):
            assert verdict.outcome is Outcome.GO and not reasons
        case Side.KEPT if rule is not None:
            finest = _finest(standard, rule)
            assert any(_nothing_to_spare(rule, margin, finest) for margin in margins(verdict, page.path))
            assert verdict.outcome is Outcome.GO or _lacks_points_alone(verdict, rules)
        case Side.KEPT | Side.BROKEN if page.path.startswith("candidate."):
            assert [reason.kind for reason in reasons] == [ReasonKind.NOT_STATED] * (page.side is Side.BROKEN)
            assert verdict.outcome is (Outcome.GO if page.side is Side.KEPT else Outcome.VOID)
        case Side.BROKEN if isinstance(rule, Condition):
            assert [reason.kind for reason in reasons] == [ReasonKind.UNMET] and verdict.outcome is Outcome.VOID
        case Side.BROKEN if rule is not None:
            margin = reasons[-1].margin
            assert margin is None or _just_broken(rule, margin.amount, _finest(standard, rule))
            assert log.end is not None or reasons[-1].entry == len(log.entries)
        case Side.TRIGGERED:
            assert reasons and reasons[-1].entry == len(log.entries)
        case Side.SPARED:
            assert not reasons
        case Side.QUICKEST:
            assert Outcome.GO in (verdict.outcome, *(e.outcome for e in verdict.events if e.label == page.path))
        case Side.REACHED | Side.SHORT if isinstance(rule, Score):
            assert _gives_its_points(page, verdict, rule) is (page.side is Side.REACHED)
        case Side.REACHED | Side.SHORT if page.path.startswith("grades."):
            names = [grade.name for grade in standard.grades]
            given, asked = names.index(verdict.grade or ""), names.index(page.path.split(".")[1])
            assert given == asked if page.side is Side.REACHED else given > asked
        case Side.REACHED | Side.SHORT:
            assert rule is not None
            done = {(m.path, m.at) for attempt in all_attempts(verdict) for m in attempt.moments}
            last = log.end if log.end is not None else log.entries[-1].at
            clause = page.path.rpartition(".")[0]
            assert ((clause, last) in done) is (page.side is Side.REACHED)
        case _:
            assert page.path.endswith(".attempts") and rule is None


@pytest.mark.parametrize("path", OF_EVERYBODY, ids=lambda path: path.stem)
def test_the_quickest_go_lasts_what_proof_says_is_the_least(path: Path) -> None:
    book = book_of_file(path)
    total = 0
    for label, survey in surveys_of_file(path).events.items():
        (event,) = (event for event in page(book, f"{label}.quickest").machine.events if event.label == label)
        attempt = event.attempts[-1]
        assert attempt.ended_at is not None and survey.shortest is not None
        lasts = attempt.ended_at - attempt.opened_at
        assert lasts >= survey.shortest if survey.rough else lasts == survey.shortest
        total += survey.shortest
    figure = page(book, f"{TEST}.quickest").told.figure
    rough = any(survey.rough for survey in surveys_of_file(path).events.values())
    assert figure is not None and (figure.amount * 10**6 >= total if rough else figure.amount * 10**6 == total)


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_the_book_as_text_is_narrow_and_whole(path: Path) -> None:
    book = book_of_file(path)
    lines = book_text(book).splitlines()
    assert max(map(len, lines)) <= 100
    assert [page.name for page in book.pages] == [line for line in lines if line in {p.name for p in book.pages}]


# --- single constructs -----------------------------------------------------------------------------------

EVENT = ("event swim", "    attempts 1", "    start on go", "    step reach", "        until hit")


@pytest.mark.parametrize(
    ("limit", "name", "kept", "broken"),
    [
        ("within 90 s", "within", "1:30", "1:30.000001"),
        ("under 90 s", "under", "1:29.999999", "1:30"),
        ("not before 90 s", "not_before", "1:30", "1:29.999999"),
    ],
)
def test_a_time_is_met_to_the_microsecond(limit: str, name: str, kept: str, broken: str) -> None:
    book = book_of(*EVENT, f"        {limit}")
    assert page(book, f"swim.reach.{name}.kept").lines == ("0:00 go", f"{kept} hit")
    assert page(book, f"swim.reach.{name}.broken").lines[-1].split()[0] == broken


@pytest.mark.parametrize(
    ("limit", "name", "kept", "broken"),
    [
        ("within 2 slips", "within_slip", 2, 3),
        ("before 2 slips", "before_slip", 1, 2),
        ("at least 2 slips", "at_least_slip", 2, 1),
        ("fail on slip more than 2 times", "slip", 2, 3),
        ("note on slip more than 2 times", "slip", 2, 3),
        ("restart on slip, at most 2 times", "slip.at_most", 2, 3),
    ],
)
def test_a_count_is_met_to_the_mark(limit: str, name: str, kept: int, broken: int) -> None:
    book = book_of(*EVENT, f"        {limit}")
    counts = [len(at(page(book, f"swim.reach.{name}.{side}"), "slip")) for side in ("kept", "broken")]
    assert counts == [kept, broken]


@pytest.mark.parametrize(
    ("silence", "kept", "broken"),
    [
        ("no slip for over 20 s", "0:20", "0:20.000001"),
        ("no slip for 20 s or more", "0:19.999999", "0:20"),
        ("fail on no slip for over 20 s", "0:20", "0:20.000001"),
    ],
)
def test_a_silence_is_met_to_the_microsecond(silence: str, kept: str, broken: str) -> None:
    book = book_of(*EVENT, f"        {silence}")
    assert page(book, "swim.reach.no_slip.kept").lines[1].split()[0] == kept
    assert page(book, "swim.reach.no_slip.broken").lines[-1] == f"{broken} end"


def test_a_rest_has_both_bounds_on_both_sides() -> None:
    rest = (
        "    rest from 20 s to 1 min, else fail",
        "    step back",
        "        start on shout",
        "        until hit",
    )
    book = book_of(*EVENT, *rest)
    ends = {name: page(book, f"swim.back.{name}") for name in ("rest.kept", "rest.broken")}
    assert [at(each, "shout") for each in ends.values()] == [["0:21"], ["0:20.999999"]]
    assert at(page(book, "swim.back.rest_at_most.kept"), "shout") == ["1:01"]
    assert page(book, "swim.back.rest_at_most.broken").lines[-1] == "1:01.000001 end"


def test_a_rest_that_time_alone_ends_is_reached_and_short() -> None:
    book = book_of(*EVENT, "    rest at least 20 s, else fail", "    step back", "        until hit")
    assert page(book, "swim.back.rest.reached").lines[-1] == "0:21 end"
    short = page(book, "swim.back.rest.short")
    assert short.lines[-1] == "0:20.999999 end" and short.machine.owed[0].path == "swim.back.rest"


def test_a_total_is_reached_by_its_last_finest_part_and_broken_with_it() -> None:
    """Three values add up to the amount, and a goal reached too early for its `at least` is still reached."""
    goal = (
        "    step haul",
        "        until load totals 60 kg",
        "        within 3 loads",
        "        at least 2 slips",
    )
    book = book_of("event swim", "    attempts 1", "    start on go", *goal)
    assert page(book, "swim.haul.goal.short").lines[-1].endswith("kg")
    kept = page(book, "swim.haul.within_load.kept")
    assert [line.split()[2] for line in kept.lines if " load " in line] == ["20", "20", "20"]
    over = page(book, "swim.haul.within_load.broken")
    assert len(at(over, "load")) == 4 and over.told.what == "fails"
    assert page(book, "swim.haul.at_least_slip.broken").told.what == "fails"


def test_an_amount_asked_for_has_both_sides() -> None:
    lines = ("    step lift", "        until load from 20 kg to 25 kg", "        fail on load over 40 kg")
    book = book_of("event swim", "    attempts 1", "    start on go", *lines)
    goal = [page.lines[-1].split(maxsplit=2)[2] for page in book.pages if page.path == "swim.lift.goal"]
    assert goal == ["20 kg", "19.999999 kg", "25 kg", "25.000001 kg"]
    fault = [page.lines[-1].split(maxsplit=2)[2] for page in book.pages if page.path == "swim.lift.load"]
    assert fault == ["40.000001 kg", "40 kg"]


def test_a_choice_has_a_neighbour_that_does_not_trigger() -> None:
    book = book_of(*EVENT, "        fail on knot clove")
    assert page(book, "swim.reach.knot.triggered").lines[-1] == "0:01 knot clove"
    assert page(book, "swim.reach.knot.spared").lines[-1] == "0:01 knot bowline"


def test_a_bare_fault_is_spared_by_the_quickest_go() -> None:
    book = book_of(*EVENT, "        disqualify on slip")
    (pair,) = (pair for pair in book.pairs if pair.path == "swim.reach.slip")
    assert pair.pages == ((Side.TRIGGERED, "swim.reach.slip.triggered"), (Side.SPARED, "swim.quickest"))


def test_attempts_are_used_up_and_the_last_one_passed() -> None:
    lines = ("    attempts 3, rest at least 1 min between, else fail", "    start on go", "    fail on slip")
    book = book_of("event swim", *lines, "    step reach", "        until hit")
    used = page(book, "swim.attempts.broken")
    assert at(used, "go") == ["0:00", "1:01", "2:02"] and used.machine.outcome is Outcome.NO_GO
    assert page(book, "swim.attempts.kept").machine.outcome is Outcome.GO


def test_limits_of_the_whole_test_are_met_across_its_events() -> None:
    always = (
        "always",
        "    within 10 min",
        "    at least 2 slips",
        "    not before 3 min",
        "    within 2 shouts",
        "",
    )
    two = ("event swim", "    attempts 1", "    start on go", "    step reach", "        until hit", "")
    more = ("event climb", "    attempts 1", "    start on go", "    step reach", "        until hit")
    book = book_of(*always, *two, *more)
    assert [pair.missing for pair in book.pairs if pair.path.startswith("always")] == [()] * 4
    assert page(book, "always.within.kept").lines[-1] == "10:00 hit"
    assert page(book, "always.not_before.broken").lines[-1] == "2:59.999999 hit"
    quickest = page(book, f"{TEST}.quickest")
    assert quickest.machine.decided_at == 180_000_000 and len(at(quickest, "slip")) == 2
    assert not any(pair.path.endswith(".attempts") for pair in book.pairs)  # nothing fails an attempt


def test_an_event_without_a_start_mark_follows_at_once() -> None:
    book = book_of(
        *EVENT, "", "event hold", "    attempts 1", "    step still", "        for 20 s", "        fail on slip"
    )
    kept = page(book, "hold.still.goal.reached")
    assert kept.lines == ("0:00 go", "0:01 hit", "0:21 end")


def test_free_entries_come_a_second_apart_and_the_quickest_go_does_not_wait() -> None:
    steps = ("    step next", "        until 2 hits", "        within 30 s")
    book = book_of(*EVENT, *steps)
    assert page(book, "swim.quickest").lines == ("0:00 go", "0:00 hit", "0:00 hit", "0:00 hit")
    assert page(book, "swim.next.within.kept").lines == ("0:00 go", "0:01 hit", "0:02 hit", "0:31 hit")


def test_an_attempt_that_one_entry_opens_and_completes_lasts_no_time() -> None:
    standard = loaded(
        HEAD + "event swim\n    attempts 1\n    start with first hit\n    step reach\n        until hit\n"
    )
    survey = surveyed(standard).events["swim"]
    assert (survey.shortest, survey.longest) == (0, 0)
    assert page(boundary_book(standard), "swim.quickest").lines == ("0:00 hit",)


# --- what is missing, and what differs -------------------------------------------------------------------


def test_a_clause_without_a_pair_is_a_finding_that_can_be_accepted() -> None:
    limits = ("        within 60 s", "        within 90 s as later")
    (finding,) = book_of(*EVENT, *limits).findings
    assert (
        finding.code is codes.NO_PAIR and finding.span is not None and finding.span.text.startswith("within 90 s")
    )
    assert finding.facts["side"] == "just kept or just broken" and finding.facts["why"] == PROVED
    accepted = book_of(*EVENT, *limits, '        accept D120 "the old limit stays"')
    assert [each.accepted for each in accepted.findings] == ["the old limit stays"]
    assert [pair.accepted for pair in accepted.pairs if pair.missing] == ["the old limit stays"]


def test_an_acceptance_of_nothing_is_told_by_the_book_and_not_by_proof(all_findings: Findings) -> None:
    lines = (*EVENT, "        within 60 s", '        accept D120 "nothing"', '        accept D101 "nothing"')
    assert [each.facts for each in book_of(*lines).findings] == [{"code": "D120"}]
    told = [each.facts for each in all_findings(HEAD + "\n".join(lines) + "\n") if each.code.number == "A102"]
    assert told == [{"code": "D101"}]


@pytest.mark.parametrize("sample", samples("D120"), ids=("bad", "good"))
def test_the_samples_are_found(sample: Sample, all_findings: Findings) -> None:
    found: dict[int, set[str]] = {}
    for one in (*all_findings(sample.text), *boundary_book(loaded(sample.text)).findings):
        assert one.span is not None
        found.setdefault(one.span.line, set()).add(one.code.number)
    assert found == sample.pointed() and sample.bad == bool(found)


def test_two_verdicts_that_differ_are_an_error(monkeypatch: pytest.MonkeyPatch) -> None:
    def other(standard: Standard, log: SessionLog) -> tuple[Verdict, ...]:
        return tuple(evolve(verdict, decided_at=1) for verdict in judge(standard, log))

    monkeypatch.setattr("standfast.proofing.pages.judge", other)
    book = book_of(*EVENT)
    assert {finding.code for finding in book.findings} == {codes.BOOK_DISAGREEMENT}
    assert len(book.findings) == len(book.pages) and all(finding.log for finding in book.findings)
