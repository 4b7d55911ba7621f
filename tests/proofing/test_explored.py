"""Doubts that need every log: true where they are found, and not found where they would not be true."""

from collections.abc import Callable

import pytest

from standfast.diagnostic import Diagnostic
from standfast.pipeline import load_standard
from standfast.proofing import survey
from standfast.proofing.findings import proof
from standfast.proofing.samples import samples
from standfast.source import Source

Findings = Callable[[str], tuple[Diagnostic, ...]]

HEAD = """\
standard sample "Sample"
    edition "1"
    in force from 2026-03-01

marks
    go "A signal"
    off "Another signal"
    touch "A touch"
    slip "A slip"

event main "Main"
    attempts 1
    start on go
"""


def of_code(found: tuple[Diagnostic, ...], code: str) -> list[Diagnostic]:
    return [one for one in found if one.code.number == code]


RESTED = (
    HEAD
    + """\
    within 10 min
    fail on off out of order
    fail on slip
    note on touch more than twice
    step early
        until touch
    rest at least 20 s, else note
    step later
        start on off
        until touch
"""
)


def test_a_fault_out_of_order_does_not_act_in_a_rest_that_its_mark_ends(all_findings: Findings) -> None:
    (one,) = of_code(all_findings(RESTED), "D118")
    assert one.message == "`fail on slip` also acts during `rest at least 20 s`"
    assert one.log == ("log main", "    0:00 go", "    0:00 touch", "    0:00 slip")


def test_a_silence_acts_in_a_rest_that_is_longer(all_findings: Findings) -> None:
    silent = RESTED.replace("    fail on slip\n", "    no slip for over 15 s\n")
    (one,) = of_code(all_findings(silent), "D118")
    assert one.message == "`no slip for over 15 s` also acts during `rest at least 20 s`"


def test_a_counted_limit_is_no_doubt_where_every_item_has_its_time(all_findings: Findings) -> None:
    timed = "    within 4 slips\n    step early\n        until touch\n        within 1 min\n"
    assert of_code(all_findings(HEAD + timed), "D112") == []
    untimed = timed.replace("        within 1 min\n", "")
    assert [one.message for one in of_code(all_findings(HEAD + untimed), "D112")] == [
        "after the last `slip` that `within 4 slips` allows the candidate may wait for ever"
    ]


def test_what_stands_before_a_clause_that_nobody_reaches_is_named(all_findings: Findings) -> None:
    lines = """\
    within 10 min
    any one of ways
        step plain
            start on off
            until touch
        in order barred
            start on slip
            fail on touch
            step early
                until touch
            step later
                until slip
"""
    (one,) = of_code(all_findings(HEAD + lines), "D103")
    assert one.help.startswith("mend what stands before it: `main.ways.barred.early`; or, if it is meant, write")


def test_an_escalation_is_no_clash(all_findings: Findings) -> None:
    same = """\
    until touch
    within 1 min
    restart at once on slip
    fail on slip more than twice as often
"""
    assert of_code(all_findings(HEAD + same), "D107") == []
    around = """\
    within 1 min
    fail on slip more than twice
    step early
        until touch
        restart at once on slip
"""
    assert of_code(all_findings(HEAD + around), "D107") == []
    assert len(of_code(all_findings(HEAD + around.replace(" more than twice", "")), "D107")) == 1


def test_behind_what_nobody_passes_no_acceptance_is_said_to_be_idle(all_findings: Findings) -> None:
    barred = "    until touch\n    within 1 min\n    not before 2 min\n"
    after = '\nevent latter\n    attempts 1\n    start on off\n    until slip\n    accept D104 "meant"\n'
    found = {one.code.number for one in all_findings(HEAD + barred + after)}
    assert "P101" in found and not found & {"A102", "D104"}
    timed = after.replace("until slip", "until slip\n    within 1 min")
    idle = barred.replace("    not before 2 min\n", "") + timed
    assert [one.code.number for one in all_findings(HEAD + idle)] == ["A102"]


def test_the_innermost_acceptance_answers(all_findings: Findings) -> None:
    lines = """\
    accept D104 "outer"
    accept D108 "not here"
    step early
        until touch
    step later
        accept D104 "inner"
        until slip
"""
    used = HEAD.replace("start on go", "start on off").replace('    go "A signal"\n', "")
    found = [(one.code.number, one.accepted) for one in all_findings(used + lines)]
    assert found == [("A102", None), ("D104", "outer"), ("D104", "inner")]


def test_times_and_what_is_watched_by_step_in_written_order() -> None:
    standard, _ = load_standard(Source("a.standard", RESTED))
    assert standard is not None
    (event,) = proof(standard).events
    assert (event.shortest, event.longest) == (0, 600_000_000)  # the rest may be cut short
    assert event.watched == (("main.early", 3), ("main.later", 3))


@pytest.mark.parametrize("code", ["D101", "D102", "D103", "D106", "D109"])
def test_nothing_is_said_to_be_impossible_in_an_event_too_large_to_be_looked_through(
    code: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    standard, _ = load_standard(Source("a.standard", next(one.text for one in samples(code) if one.bad)))
    assert standard is not None
    whole = proof(standard)
    assert whole.undecided == () and code in {one.code.number for one in whole.findings}
    monkeypatch.setattr(survey, "MOST_POSITIONS", 0)
    part = proof(standard)
    assert part.undecided == tuple(event.label for event in standard.events)
    assert part.findings == ()
    assert [(event.decided, event.shortest, event.watched) for event in part.events] == [(False, None, ())]


def test_under_carry_on_only_a_limit_of_always_ends_the_waiting(all_findings: Findings) -> None:
    lines = "    carry on\n    within 5 min\n    until touch\n"
    (one,) = of_code(all_findings(HEAD + lines), "D104")
    assert one.help.startswith("under `carry on` no limit of the event ends it: give `always` a limit")
    always = HEAD.replace("event main", "always\n    within 2 h\n\nevent main")
    assert of_code(all_findings(always + lines), "D104") == []


def test_of_two_limits_on_one_figure_the_wider_is_idle_in_a_test_too_large_to_look_through(
    all_findings: Findings, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("standfast.proofing.survey.MOST_POSITIONS", 3)
    always = HEAD.replace(
        "event main", "always\n    within 2 h\n    within 7200 s as again\n    under 2 h\n\nevent main"
    )
    found = of_code(all_findings(always + "    until slip\n"), "D102")
    assert [(each.facts["words"], each.facts["culprit"]) for each in found] == [
        ("within 2 h", "always.under"),
        ("within 7200 s", "always.within"),
    ]


def test_beside_a_graver_fault_on_the_same_mark_one_never_acts_in_a_test_too_large_to_look_through(
    all_findings: Findings, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("standfast.proofing.survey.MOST_POSITIONS", 3)
    always = HEAD.replace(
        "event main",
        "always\n    fail on off more than twice\n    disqualify on off as graver\n    note on off as noted\n\n"
        "event main",
    )
    found = of_code(all_findings(always + "    until slip\n"), "D101")
    assert [(each.facts["words"], each.facts["culprit"]) for each in found] == [
        ("fail on off more than twice", "always.graver")
    ]


@pytest.mark.parametrize("test", ["over 1 per s", "at most 1 per s", "under 1 per s"])
def test_a_rate_that_is_rounded_to_nought_is_looked_through(test: str, all_findings: Findings) -> None:
    """Of two marks and more the rate is never nought, so what asks for none is never met by them."""
    row = (
        f"    score from rate of slip, rounded up to 2 per s\n        {test} gives 3\n        otherwise gives 2\n"
    )
    assert of_code(all_findings(f"{HEAD}    until 3 slips\n{row}"), "P101") == []
