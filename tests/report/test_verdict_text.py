from datetime import datetime
from fractions import Fraction

from attrs import evolve

from standfast.quantity import UNITS
from standfast.report.verdict_text import NotGraded, verdict_text, verdicts_table
from standfast.verdict import (
    Deadline,
    Doubt,
    Ending,
    Firmness,
    Outcome,
    ReasonKind,
    RemarkKind,
    Verdict,
    deciding,
    spoken,
)


def test_a_no_go_says_first_what_a_candidate_can_check(no_go: Verdict) -> None:
    assert verdict_text(no_go).splitlines()[:8] == [
        "NO-GO  candidate C-014, session 2026-04-11/lane-3",
        "standard boat_crew_entry, edition 3.1; decided at 1:32.4",
        "log lane-3.jsonl",
        "",
        "because",
        '  fail: water.tread.hand_down "a third hand under water"',
        "      entry 7 (line 8) at 1:32.4; rule: fail on hand_down more than 2 times;",
        "      counted 3; margin -1",
    ]


def test_every_attempt_and_reason_is_told(no_go: Verdict) -> None:
    text = verdict_text(no_go)
    start = text.index("event heaving")
    assert text[start : text.index("event water")].splitlines() == [
        'event heaving "Heaving line": GO',
        "  attempt 1: opened at 0:00, failed at 0:10, charged",
        "    fail: heaving.within",
        "        the deadline 0:10 passed, its clock began at 0:00; rule: within 10 s",
        "  attempt 2: opened at 0:20, GO at 0:25.000001, charged",
        '    note: heaving.rest_between "called up early"',
        "        entry 3 (line 4) at 0:20; rule: rest at least 2 min between;",
        "        measured 19.5 s; margin -100.5 s (-1:40.5)",
        "    margin     figure      limit, narrowest first",
        "    0          4           heaving.throws.within_throw",
        "                             within 4 throws",
        "    ~0.333 ft  ~60.333 ft  heaving.throws.line",
        "                             until line_in totals 60 ft",
        "",
    ]


def test_remarks_and_digests_close_it(no_go: Verdict) -> None:
    assert verdict_text(no_go).split("\nremarks\n")[1].splitlines() == [
        "  entry 2 (line 3) at 0:05: nothing that was open could use this mark",
        "  entry 5 (line 6) at 0:28: always.stop_call had no open attempt to act on",
        "  entry 8 (line 9) at 1:33: logged after the verdict",
        "",
        "digests: standard abababababab, log 0f0f0f0f0f0f",
        "~ amounts so marked are rounded against the candidate; the JSON form is exact",
    ]


def test_a_close_call_says_what_it_hangs_on(close_call: Verdict) -> None:
    assert verdict_text(close_call).splitlines()[3:10] == [
        "close call: each time may be wrong by up to 0.3 s",
        "  NO-GO if times are wrong by 0.100001 s",
        "    entry 4 (line 5) at 0:25.000001, were it 0.100001 s later",
        "  GO with grade shore if times are wrong by 0.3 s",
        "    entry 4 (line 5) at 0:25.000001, were it 0.100001 s later",
        "    the end at 0:26, were it 0.3 s earlier",
        "",
    ]
    assert verdicts_table([close_call]).splitlines()[1].startswith("GO, close call  C-014 ")


def test_whether_a_verdict_stands_is_said(go: Verdict) -> None:
    stands = evolve(go, doubt=Doubt(within=1, firmness=Firmness.STANDS))
    assert verdict_text(stands).splitlines()[3] == "stands however each time is wrong by up to 0.000001 s"
    unknown = evolve(go, doubt=Doubt(within=90_000_000, firmness=Firmness.NOT_DECIDED))
    assert verdict_text(unknown).splitlines()[3:5] == [
        "not decided whether it stands if each time is wrong by up to 90 s: that would",
        "    take too long to find out",
    ]


def test_a_value_that_does_not_fit_is_said_to_be_that(no_go: Verdict) -> None:
    remark = evolve(no_go.remarks[0], kind=RemarkKind.UNFIT)
    text = verdict_text(evolve(no_go, remarks=(remark,)))
    told = "  entry 2 (line 3) at 0:05: the value does not fit: nothing that was open could"
    assert f"\n{told}\n      use this mark with it\n" in text


def test_the_sign_for_rounding_is_explained_only_where_it_stands(unfinished: Verdict) -> None:
    assert "~" not in verdict_text(unfinished)


def test_go_gives_the_figures_of_the_whole_test(go: Verdict) -> None:
    assert "  3570 s (59:30)  30 s    always.within           within 1 h\n" in verdict_text(go)


def test_unfinished_says_what_is_owed(unfinished: Verdict) -> None:
    text = verdict_text(unfinished)
    assert "because the log ends with this still owed\n  water.tread.goal: for 4 min\n  engine: event\n" in text
    assert "attempt 1: opened at 0:30, still open at the end of the log, charged" in text


def test_void_says_what_was_stated(void: Verdict) -> None:
    lines = verdict_text(void).splitlines()
    assert lines[4:11] == [
        "because conditions do not hold (nothing else decides)",
        "  unmet: conditions.depth",
        "      the log states 2.1 m; rule: depth at least 2.5 m; margin -0.4 m",
        "  unmet: conditions.aid",
        "      the log states the opposite; rule: aid yes",
        "  not stated: conditions.lookouts",
        "      the log does not state it; rule: lookouts at least 2",
    ]


def test_owed_at_the_end_decides(owed_at_the_end: Verdict) -> None:
    assert "owed: water.tread.goal\n      not done by the end at 1:40; rule: for 4 min" in verdict_text(
        owed_at_the_end
    )


def test_failures_kept_until_the_last_item_all_decide(no_go: Verdict) -> None:
    water = no_go.events[1]
    kept = water.attempts[0]
    later = evolve(kept, ended_at=120_000_000)
    carried = evolve(no_go, decided_at=120_000_000, events=(no_go.events[0], evolve(water, attempts=(later,))))
    assert deciding(carried) == kept.reasons


def test_a_disqualification_outside_an_attempt_decides_and_earlier_notes_do_not(no_go: Verdict) -> None:
    third = no_go.events[1].attempts[0].reasons[0]
    note = evolve(third, kind=ReasonKind.NOTE, path="always.shout", at=26_000_000)
    out = evolve(third, kind=ReasonKind.DISQUALIFY, path="always.help", at=28_000_000)
    verdict = evolve(no_go, events=no_go.events[:1], reasons=(note, out), decided_at=28_000_000)
    assert deciding(verdict) == (out,)
    assert "outside any attempt\n  note: always.shout" in verdict_text(verdict)


def test_lines_stay_within_a_terminal_and_cannot_break_out_of_it(no_go: Verdict) -> None:
    hostile = evolve(no_go, candidate="\x1b[2J\n" + "long name " * 40, session="\u202e")
    text = verdict_text(hostile)
    assert "\x1b" not in text and "\u202e" not in text
    assert max(len(line) for line in text.splitlines()) <= 80


def test_the_table_names_the_deciding_clause(every_verdict: tuple[Verdict, ...]) -> None:
    rows: tuple[Verdict | NotGraded, ...] = (*every_verdict[:5], NotGraded("lane-4.jsonl"))
    assert [line.rstrip() for line in verdicts_table(rows).splitlines()] == [
        "verdict     candidate  session            deciding clause                                   log",
        "GO          C-014      2026-04-11/lane-3  -                                                 lane-3.jsonl",
        'NO-GO       C-014      2026-04-11/lane-3  water.tread.hand_down "a third hand under water"  lane-3.jsonl',
        "UNFINISHED  C-014      2026-04-11/lane-3  water.tread.goal and 1 more                       lane-3.jsonl",
        "VOID        C-014      2026-04-11/lane-3  conditions.depth and 2 more                       lane-3.jsonl",
        "NO-GO       C-014      2026-04-11/lane-3  water.tread.goal                                  lane-3.jsonl",
        "not graded  -          -                  -                                                 lane-4.jsonl",
        "1 GO, 2 NO-GO, 1 UNFINISHED, 1 VOID, 1 not graded",
    ]


def test_the_table_has_points_and_grades_where_there_are_any(go: Verdict, no_go: Verdict) -> None:
    long = evolve(no_go.events[1].attempts[0].reasons[-1], sentence="a hand " * 20)
    attempt = evolve(no_go.events[1].attempts[0], reasons=(long,))
    failed = evolve(no_go, events=(no_go.events[0], evolve(no_go.events[1], attempts=(attempt,))))
    head, first, second, count = verdicts_table([evolve(go, points=12, grade="boat_crew"), failed]).splitlines()
    assert head.split() == ["verdict", "candidate", "session", "grade", "points", "deciding", "clause", "log"]
    assert first.split()[3:] == ["boat_crew", "12", "-", "lane-3.jsonl"]
    assert '  -          -       water.tread.hand_down "a hand a hand a hand a hand a hand a…"  ' in second
    assert count == "1 GO, 1 NO-GO"


def test_a_halt_that_spends_the_last_attempt_decides(no_go: Verdict) -> None:
    water = no_go.events[1]
    attempt = water.attempts[0]
    halt = evolve(attempt.reasons[0], kind=ReasonKind.HALT, path="always.stop_call")
    ended = evolve(attempt, ending=Ending.HALTED, reasons=(halt,))
    halted = evolve(no_go, events=(no_go.events[0], evolve(water, attempts=(ended,))))
    assert halted.outcome is Outcome.NO_GO and deciding(halted) == (halt,)


def test_a_deadline_that_may_not_be_reached_was_reached(no_go: Verdict) -> None:
    attempt = no_go.events[0].attempts[0]
    reason = evolve(attempt.reasons[0], words="under 10 s", deadline=Deadline(since=0, reached=True))
    event = evolve(no_go.events[0], attempts=(evolve(attempt, reasons=(reason,)),))
    text = verdict_text(evolve(no_go, events=(event, no_go.events[1])))
    assert "the deadline 0:10 was reached, its clock began at 0:00; rule: under 10 s\n" in text


def test_a_log_that_shows_the_time_of_day_is_told_in_it_too(no_go: Verdict) -> None:
    lines = verdict_text(evolve(no_go, zero=datetime(2026, 4, 11, 23, 58, 30, 500_000))).splitlines()
    assert lines[1:3] == [
        "standard boat_crew_entry, edition 3.1; decided at 1:32.4 (2026-04-12 00:00:02.9)",
        "log lane-3.jsonl, whose clock showed 2026-04-11 23:58:30.5 at 0:00",
    ]
    assert "  attempt 1: opened at 0:00 (23:58:30.5), failed at 0:10 (23:58:40.5), charged" in lines
    assert "        the deadline 0:10 (23:58:40.5) passed, its clock began at 0:00" in lines
    assert "  entry 2 (line 3) at 0:05 (23:58:35.5): nothing that was open could use this" in lines


def test_a_time_past_the_last_year_is_told_without_its_date(no_go: Verdict) -> None:
    assert "decided at 1:32.4\n" in verdict_text(evolve(no_go, zero=datetime(9999, 12, 31, 23, 59, 0)))


def test_an_amount_stands_as_the_log_has_it_too(void: Verdict) -> None:
    depth = evolve(void.reasons[0], logged="210 cm")
    text = verdict_text(evolve(void, reasons=(depth,)))
    assert "the log states 210 cm, that is 2.1 m; rule: depth at least 2.5 m;\n" in text
    same = evolve(depth, logged="2.1 m")
    assert "the log states 2.1 m; rule" in verdict_text(evolve(void, reasons=(same,)))


def test_a_value_that_is_a_fault_stands_as_it_was_logged(no_go: Verdict) -> None:
    attempt = no_go.events[1].attempts[0]
    pulled = evolve(
        attempt.reasons[0],
        words="fail on gust over 10 kt",
        figure=spoken(Fraction(18522, 1852), UNITS["kt"]),
        margin=spoken(Fraction(-2, 1852), UNITS["kt"]),
        logged="18.522 km/h",
    )
    event = evolve(no_go.events[1], attempts=(evolve(attempt, reasons=(pulled,)),))
    text = verdict_text(evolve(no_go, events=(no_go.events[0], event)))
    assert "\n      logged 18.522 km/h, that is ~10.002 kt; margin ~-0.002 kt\n" in text


def test_facts_of_the_candidate_are_told(no_go: Verdict, void: Verdict) -> None:
    assert "\nfacts body_mass 80 kg, duty boat\n" in verdict_text(
        evolve(no_go, facts=(("body_mass", "80 kg"), ("duty", "boat")))
    )
    reason = evolve(void.reasons[-1], path="candidate.duty", words="duty is one of shore, boat")
    lines = verdict_text(evolve(void, reasons=(reason,)))
    assert "because facts of the candidate are not stated (nothing else decides)\n" in lines


def test_a_no_go_without_another_attempt_rests_on_what_said_so(no_go: Verdict) -> None:
    said = evolve(no_go.events[1].attempts[0].reasons[-1], kind=ReasonKind.OUT, path="water.out_waived")
    failed = evolve(no_go.events[1].attempts[0], ended_at=0)
    events = (no_go.events[0], evolve(no_go.events[1], attempts=(failed,)))
    verdict = evolve(no_go, events=events, reasons=(*no_go.reasons, evolve(said, at=no_go.decided_at)))
    assert [reason.path for reason in deciding(verdict)] == ["water.out_waived"]
