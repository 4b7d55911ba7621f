"""Ten things that published standards leave open: what the language asks for, refuses or defines.

The list is drawn from the sources of the other tests of this folder, each of which names its own; the examples
here are our own.
"""

from collections.abc import Callable, Mapping

import pytest

from standfast.log.reader import read_log
from standfast.model.standard import Standard
from standfast.pipeline import load_standard
from standfast.source import Source
from standfast.verdict import Verdict

HEAD = """\
standard sample "Sample"
    edition "1"
    in force from 2026-01-01

marks
    go "The starter's signal"
    done "It is done"
    again "It has to be done again"
    act "One act of many"
    clear "The bar is cleared"
    short "The bar falls"
    left_out "The height is left out"
    watch in s, of 2 {two}, of 3 the middle{rounded} "A watch is stopped"

event main
"""

Judged = Callable[[str, str], Verdict]
Verdicts = Callable[[Standard, str, bytes], tuple[Verdict, ...]]
Written = Callable[[Standard, str, Mapping[str, str | bool]], bytes]


def whole(lines: str, *, two: str = "the longer", rounded: str = "") -> str:
    return HEAD.format(two=two, rounded=rounded) + "".join(f"    {line}\n" for line in lines.splitlines())


def refusals(text: str) -> list[str]:
    """The messages of what is wrong with a text, with what would mend it."""
    _, found = load_standard(Source("sample", text))
    return [f"{each.message} | {each.help}" for each in found]


@pytest.fixture(scope="session")
def judged(written: Written, verdicts: Verdicts) -> Judged:
    """The verdict on a log, by a whole text."""

    def of(text: str, entries: str) -> Verdict:
        standard, found = load_standard(Source("sample", text))
        assert standard is not None, [each.message for each in found]
        (verdict,) = verdicts(standard, entries, written(standard, entries, {}))
        return verdict

    return of


def outcome(verdict: Verdict) -> str:
    reasons = [r for event in verdict.events for a in event.attempts for r in a.reasons] + [*verdict.reasons]
    return " ".join([verdict.outcome.value, *(reason.path for reason in reasons[-1:])])


def test_1_a_limit_says_whether_its_end_counts(judged: Judged) -> None:
    """Defined: `within` and `at most` include it, `under` does not; no other word is taken."""
    lines = "attempts 1\nstart on go\nuntil done\n"
    assert outcome(judged(whole(f"{lines}within 100 s"), "0:00 go | 1:40 done")) == "GO"
    assert outcome(judged(whole(f"{lines}under 100 s"), "0:00 go | 1:40 done")) == "NO-GO main.under"
    assert refusals(whole(f"{lines}less than 100 s"))


def test_2_rows_of_a_table_cannot_overlap_nor_leave_a_hole(judged: Judged) -> None:
    """Refused as printed, with the question that the author has to answer; never interpolated."""
    lines = "attempts 1\nstart on go\nuntil done\nscore from time\n"
    printed = "    under 6 min 30 s gives 5\n    6:30 to 8:40 gives 4\n    otherwise gives 3"
    assert any("which row has" in each for each in refusals(whole(lines + printed)))
    rows = "    under 6 min 30 s gives 5\n    under 8 min 40 s gives 4\n    otherwise gives 3"
    scored = {at: judged(whole(lines + rows), f"0:00 go | {at} done") for at in ("6:29.9", "6:30", "8:40")}
    assert [verdict.points for verdict in scored.values()] == [5, 4, 3]
    assert refusals(whole(lines + "    under 6 min 30 s gives 5"))


ROUNDS = """\
attempts 1
start on go
rounds bar
    at 1.80 m, 1.84 m, 1.88 m, 1.92 m
    tries 3
    until clear
    miss on short
    pass on left_out
"""
"""Heights with three tries at each, which may be left out."""


@pytest.mark.parametrize(
    ("out", "entries", "expected"),
    [
        (
            "out on 2 misses in a row",
            "0:00 go | 0:01 short | 0:02 clear | 0:03 short | 0:04 clear | 0:05 clear | 0:06 clear",
            "GO",
        ),
        ("out on 2 misses in all", "0:00 go | 0:01 short | 0:02 clear | 0:03 short", "NO-GO main.bar.made"),
        ("out on 3 misses in a row", "0:00 go | 0:01 short | 0:02 short | 0:03 clear | 0:04 end", "UNFINISHED"),
    ],
)
def test_3_misses_count_in_a_row_or_in_all_and_how_many_is_said(
    judged: Judged, out: str, entries: str, expected: str
) -> None:
    """Asked: `out on` takes a number and one of the two."""
    assert outcome(judged(whole(f"{ROUNDS}    {out}"), entries)).startswith(expected)
    assert refusals(whole(f"{ROUNDS}    out on 2 misses"))


def test_4_of_two_watches_the_standard_says_which_counts_and_how_a_mean_is_rounded(judged: Judged) -> None:
    """Asked: a number of readings with no rule is never guessed at, and a mean wants its rounding."""
    lines = "attempts 1\nstart on go\nuntil done\nreading of watch at most 11.5 s"
    two = "0:00 go | 0:20 watch 11.4 s | 0:21 watch 11.6 s | 0:22 done"
    assert outcome(judged(whole(lines), two)) == "NO-GO main.reading_watch"
    assert outcome(judged(whole(lines, two="the mean", rounded=", rounded down to 0.01 s"), two)) == "GO"
    assert any("mean" in each for each in refusals(whole(lines, two="the mean")))


def test_5_a_pass_neither_adds_to_a_row_of_misses_nor_clears_it(judged: Judged) -> None:
    """Defined, by the general rule: X-, X-, X is out."""
    entries = "0:00 go | 0:01 short | 0:02 left_out | 0:03 short | 0:04 left_out | 0:05 short"
    verdict = judged(whole(f"{ROUNDS}    out on 3 misses in a row"), entries)
    assert outcome(verdict).startswith("NO-GO")
    assert verdict.events[0].attempts[0].ended_at == 5_000_000


def test_6_what_is_tried_again_is_the_clause_that_the_line_stands_in(judged: Judged) -> None:
    """Asked: a restart puts back its own clause; a failed attempt begins at the first item."""
    steps = "attempts 1\nstart on go\n{}step a\n    until act\nstep b\n    until done\n{}"
    log = "0:00 go | 0:01 act | 0:02 again | 0:03 done"
    assert outcome(judged(whole(steps.format("", "    restart on again, at most once")), log)) == "GO main.b.again"
    whole_event = judged(whole(steps.format("restart on again, at most once\n", "")), log)
    assert [owed.path for owed in whole_event.owed] == ["main.start"]


def test_7_a_rest_runs_from_the_candidates_own_last_item(judged: Judged) -> None:
    """Defined; for one from the last of many on, log a mark for all that the next item waits for."""
    lines = "attempts 1\nstart on go\nstep a\n    until act\nrest at least 10 s, else fail\n"
    lines += "step b\n    start on again\n    until done"
    assert outcome(judged(whole(lines), "0:00 go | 0:05 act | 0:15 again | 0:16 done")) == "GO"
    assert outcome(judged(whole(lines), "0:00 go | 0:05 act | 0:14.9 again")) == "NO-GO main.b.rest"


def test_8_a_rate_is_of_intervals(judged: Judged) -> None:
    """Defined: 30 acts in exactly 15 s are 116 a minute, not 120; for 120 count the acts of a time."""
    acts = " | ".join(f"0:{instant(n)} act" for n in range(30))
    lines = "attempts 1\nstart on go\nuntil 30 act\nrate of act {} 116 per min"
    log = f"0:00 go | {acts}"
    assert outcome(judged(whole(lines.format("exactly")), log)) == "GO"
    assert outcome(judged(whole(lines.format("over")), log)) == "NO-GO main.rate_act"


def instant(number: int) -> str:
    """The instant of one of thirty acts, the first at 0 and the last at 15 s."""
    micros = number * 15_000_000 // 29
    return f"{micros // 1_000_000:02}.{micros % 1_000_000:06}"


def test_9_rounding_is_done_once_and_only_where_it_is_written(judged: Judged) -> None:
    """Defined: the exact value is compared; where a rounding is written it comes last, and only once."""
    lines = "attempts 1\nstart on go\nuntil done\nreading of watch at most 12.2 s"
    log = "0:00 go | 0:20 watch 12.254 s | 0:22 done"
    assert outcome(judged(whole(lines), log)) == "NO-GO main.reading_watch"
    nearest = ", rounded nearest to 0.1 s, ties to even"
    verdict = judged(whole(lines, rounded=nearest), log)
    (reason,) = verdict.events[0].attempts[0].reasons
    assert str(reason.figure) == "12.3 s"
    assert any("ties" in each for each in refusals(whole(lines, rounded=", rounded nearest to 0.1 s")))


@pytest.mark.parametrize(("shown", "expected"), [(True, 3_000_000), (False, 2_000_000)])
def test_10_calendar_months_are_refused_and_a_leap_second_is_one_where_the_log_shows_it(
    shown: bool, expected: int
) -> None:
    """Refused: no limit can be a month. Defined: from 23:59:58 to midnight it is 3 s if the log shows 23:59:60."""
    month = refusals(whole("attempts 1\nstart on go\nuntil done\nwithin 1 month"))
    assert any("month" in each for each in month)
    lines = [
        '{"session":"s","standard":"sample","candidate":"C-1","started":"1990-12-31T23:59:58Z"}',
        *(['{"at":"1990-12-31T23:59:60Z","mark":"go"}'] if shown else []),
        '{"at":"1991-01-01T00:00:00Z","mark":"done"}',
    ]
    raw, found = read_log("log", "".join(f"{line}\n" for line in lines).encode())
    assert raw is not None, [each.message for each in found]
    assert raw.entries[-1].at == expected
