"""Every finding of proof has a bad and a good sample; the bad one has it where it says, the good one has none."""

from collections.abc import Callable
from pathlib import Path

import pytest

from standfast.codes import doubts
from standfast.codes.code import Code
from standfast.diagnostic import Diagnostic
from standfast.language.printer import canonical
from standfast.language.reader import read
from standfast.proofing import samples as module
from standfast.proofing.samples import Sample, samples
from standfast.source import Source
from standfast.verdict import Outcome, Reason, ReasonKind, Verdict

Findings = Callable[[str], tuple[Diagnostic, ...]]

DOUBTS = sorted(code.number for code in vars(doubts).values() if isinstance(code, Code))
CASES = ["C301", "C302", "C303", "C304", "C305", "C306", "C307", "C308"]
BOOK = ["D120"]  # of the boundary book: their samples are tested with it
WITH_A_LOG = ["D104", "D105", "D107", "D118"]
PAIRS = [pytest.param(sample, id=f"{code}-{sample.bad}") for code in DOUBTS + CASES for sample in samples(code)]


def bad(code: str) -> Sample:
    return next(sample for sample in samples(code) if sample.bad)


@pytest.mark.parametrize("code", DOUBTS + CASES + BOOK)
def test_there_is_a_bad_and_a_good_one(code: str) -> None:
    assert [sample.bad for sample in samples(code)] == [True, False]


def test_no_file_is_left_over() -> None:
    files = {path.name for path in (Path(module.__file__).parent / "samples").iterdir()}
    known = {f"{code}.{kind}.standard" for code in DOUBTS + CASES + BOOK for kind in ("bad", "good")}
    assert files == known


@pytest.mark.parametrize("sample", PAIRS)
def test_what_is_found_is_what_the_sample_points_at(sample: Sample, all_findings: Findings) -> None:
    found: dict[int, set[str]] = {}
    for one in all_findings(sample.text):
        if one.accepted is None:
            assert one.span is not None
            found.setdefault(one.span.line, set()).add(one.code.number)
    assert found == sample.pointed()
    assert sample.bad == (sample.code in set().union(*found.values()))


@pytest.mark.parametrize("sample", PAIRS)
def test_it_is_tidy(sample: Sample) -> None:
    tree, _ = read(Source("a.standard", sample.text))
    assert tree is not None and canonical(tree) == sample.text


def test_a_doubt_of_the_good_sample_may_be_accepted(all_findings: Findings) -> None:
    (one,) = all_findings(next(sample.text for sample in samples("A102") if not sample.bad))
    assert (one.code, one.accepted) == (doubts.WAITS_FOR_EVER, "the bay is closed and the boat waits")


@pytest.mark.parametrize("code", DOUBTS)
def test_what_happens_in_a_log_is_shown_by_one(code: str, all_findings: Findings) -> None:
    here = [one for one in all_findings(bad(code).text) if one.code.number == code]
    assert all(bool(one.log) == (code in WITH_A_LOG) for one in here)


def log_of(code: str, all_findings: Findings) -> tuple[str, ...]:
    return next(one.log for one in all_findings(bad(code).text) if one.code.number == code)


def reasons(verdict: Verdict) -> list[Reason]:
    return [reason for event in verdict.events for attempt in event.attempts for reason in attempt.reasons]


def test_a_clause_that_may_wait_for_ever_still_waits_after_a_thousand_hours(
    all_findings: Findings, shown: Callable[..., Verdict]
) -> None:
    for end in (None, "1000:00:00"):
        verdict = shown(bad("D104").text, log_of("D104", all_findings), end)
        assert (verdict.outcome, verdict.owed[0].path) == (Outcome.UNFINISHED, "swim.goal")


def test_an_attempt_that_may_go_round_for_ever_does_so(
    all_findings: Findings, shown: Callable[..., Verdict]
) -> None:
    log = log_of("D105", all_findings)
    mark = log[-1].split()[1]
    further = tuple(f"    {minute}:00 {mark}" for minute in range(3, 210))
    verdict = shown(bad("D105").text, (*log, *further))
    assert verdict.outcome is Outcome.UNFINISHED
    kinds = {(reason.kind, reason.path) for reason in reasons(verdict)}
    assert kinds == {(ReasonKind.RESTART, "tread.hand_down")} and len(reasons(verdict)) > 200


def test_of_two_faults_on_one_entry_the_graver_acts(all_findings: Findings, shown: Callable[..., Verdict]) -> None:
    verdict = shown(bad("D107").text, log_of("D107", all_findings))
    assert [(r.kind, r.path) for r in reasons(verdict)] == [(ReasonKind.DISQUALIFY, "anchor.breaking")]


def test_a_fault_that_is_live_in_a_rest_acts_in_it(all_findings: Findings, shown: Callable[..., Verdict]) -> None:
    verdict = shown(bad("D118").text, log_of("D118", all_findings))
    assert [(r.kind, r.path) for r in reasons(verdict)] == [(ReasonKind.FAIL, "swim.stopped")]
    moments = {moment.path: moment.completed for moment in verdict.events[0].attempts[0].moments}
    assert moments["swim.outward"] and "swim.homeward" not in moments
