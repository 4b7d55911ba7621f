"""Rules 1 to 8: time and order, and what an entry does."""

from collections.abc import Callable

Story = Callable[..., str]
Moments = Callable[..., list[str]]

LAP = """
event swim
    attempts 1
    start on go
    step lap
        until hit
"""


# Rule 1


def test_an_entry_at_the_very_limit_is_in_time(story: Story) -> None:
    assert story(LAP + "        within 10 s\n", "0:00 go\n0:10 hit") == (
        "GO at 0:10\nswim GO\n  1 GO 0:00-0:10\n    = swim.lap.within 10 s, 0 s\n"
    )


def test_an_entry_at_a_strict_limit_is_not_and_the_reason_names_the_deadline(story: Story) -> None:
    assert story(LAP + "        under 10 s\n", "0:00 go\n0:10 hit") == (
        "NO-GO at 0:10\n  remark after the verdict at 0:10 #2\n"
        "swim NO-GO\n  1 failed 0:00-0:10\n    fail swim.lap.under at 0:10\n"
    )


def test_a_late_entry_does_not_decide_the_deadline_does(story: Story) -> None:
    assert "    fail swim.lap.within at 0:10\n" in story(LAP + "        within 10 s\n", "0:00 go\n0:11 hit")


def test_completions_come_before_strict_expiries(story: Story) -> None:
    rules = """
    event swim
        attempts 1
        start on go
        under 10 s
        step lap
            for 10 s
    """
    assert story(rules, "0:00 go\n0:11 go") == (
        "GO at 0:10\n  remark after the verdict at 0:11 #2\n"
        "swim GO\n  1 GO 0:00-0:10\n    = swim.under 10 s, 0 s\n"
    )


def test_of_completions_of_one_instant_the_deeper_comes_first(moments: Moments) -> None:
    rules = """
    event swim
        attempts 1
        start on go
        in any order both
            step shallow
                for 10 s
            in order deep
                step inner
                    for 10 s
    """
    assert moments(rules, "0:00 go\n0:10 end")[5:] == [
        "0:10 swim.both.deep.inner done",
        "0:10 swim.both.deep done",
        "0:10 swim.both.shallow done",
        "0:10 swim.both done",
        "0:10 swim done",
    ]


def test_an_expiry_acts_only_if_it_still_stands(story: Story) -> None:
    rules = """
    event swim
        attempts 1
        start on go
        within 10 s
        step lap
            until hit
            note on no turn for over 10 s
    """
    # The graver acts first, and with the attempt the silence is gone.
    assert story(rules, "0:00 go\n0:11 hit").endswith("  1 failed 0:00-0:10\n    fail swim.within at 0:10\n")


# Rule 2

TREAD = """
event swim
    attempts 1
    start on go
    step tread
        for 10 s
        at least 2 hits
    step lap
        until hit
"""


def test_at_least_is_judged_when_the_clause_would_complete(story: Story) -> None:
    rules = LAP + "        at least 2 turns\n"
    assert story(rules, "0:00 go\n0:01 turn\n0:05 hit").endswith(
        "    fail swim.lap.at_least_turn at 0:05 #3 (1, -1)\n"
    )


def test_a_for_stays_open_for_the_entries_of_its_last_instant(moments: Moments) -> None:
    # The second hit completes `tread` there and then and is not shown to `lap`.
    assert moments(TREAD, "0:00 go\n0:03 hit\n0:10 hit")[2:] == [
        "0:10 swim.tread done #3",
        "0:10 swim.lap begins #3",
    ]


def test_a_for_completes_whatever_the_entry_did_otherwise(moments: Moments, story: Story) -> None:
    rules = TREAD.replace("        at least 2 hits", "        at least 2 hits\n        note on hit more than once")
    log = "0:00 go\n0:03 hit\n0:10 hit"
    assert "    note swim.tread.hit at 0:10 #3 (2, -1)\n" in story(rules, log)
    assert "0:10 swim.tread done #3" in moments(rules, log)


def test_a_for_with_too_few_fails_with_the_other_expiries(story: Story) -> None:
    log = "0:00 go\n0:03 hit\n0:10 turn\n0:11 end"
    assert story(TREAD, log).endswith("  1 failed 0:00-0:10\n    fail swim.tread.at_least_hit at 0:10 (1, -1)\n")


# Rule 3


def test_at_the_end_completions_have_happened_and_other_expiries_have_not(story: Story) -> None:
    assert story(LAP + "        within 10 s\n", "0:00 go\n0:10 end") == (
        "UNFINISHED\n  owed swim.lap.goal: until hit\nswim UNFINISHED\n  1 open 0:00-\n"
    )
    assert story(LAP + "        under 10 s\n", "0:00 go\n0:10 end").startswith("NO-GO at 0:10\n")
    assert story(LAP.replace("until hit", "for 10 s"), "0:00 go\n0:10 end").startswith("GO at 0:10\n")
    assert story(TREAD, "0:00 go\n0:10 end").startswith("UNFINISHED\n  owed swim.tread.goal: for 10 s\n")


def test_without_an_end_no_time_passes_after_the_last_entry(story: Story) -> None:
    assert story(LAP + "        within 10 s\n", "0:00 go\n0:10 turn").startswith("UNFINISHED\n")


def test_time_passes_with_own_entries_and_those_for_all(outcomes_of: Callable[..., list[str]]) -> None:
    log = "0:00 go\n0:01 turn for A\n0:05 hit for B\n0:20 turn for B"
    assert outcomes_of(LAP + "        within 10 s\n", log) == ["UNFINISHED", "GO"]
    assert outcomes_of(LAP + "        within 10 s\n", log + "\n0:21 stop") == ["NO-GO", "GO"]


# Rule 4


def test_the_gravest_acts_and_all_notes_are_kept_before_it(story: Story) -> None:
    rules = """
    event swim
        attempts 1
        start on go
        note on loss as outer
        disqualify on loss more than once
        step lap
            until hit
            fail on loss more than once as two
            note on loss as inner
    """
    assert story(rules, "0:00 go\n0:01 loss\n0:02 loss").endswith(
        "  1 disqualified 0:00-0:02\n"
        "    note swim.lap.inner at 0:01 #2\n"
        "    note swim.outer at 0:01 #2\n"
        "    note swim.lap.inner at 0:02 #3\n"
        "    note swim.outer at 0:02 #3\n"
        "    disqualify swim.loss at 0:02 #3 (2, -1)\n"
    )


def test_among_equals_the_deeper_acts_then_the_first_written(story: Story) -> None:
    rules = """
    event swim
        attempts 1
        start on go
        fail on loss as outer
        step lap
            until hit
            fail on loss as first_written
            fail on loss as second_written
            {}
    """
    log = "0:00 go\n0:01 loss"
    assert "fail swim.lap.first_written at" in story(rules.format("note on turn"), log)
    # In the canonical layout the limits stand before the faults; a broken one weighs as a fail.
    assert "fail swim.lap.before_loss at" in story(rules.format("before 1 loss"), log)


def test_every_clause_in_play_counts_whatever_acts(story: Story) -> None:
    rules = """
    event swim
        attempts 1
        start on go
        fail on loss more than 2 times
        step lap
            until hit
            restart on loss
    """
    # The restarts leave the event's own count alone.
    assert "fail swim.loss at 0:03 #4 (3, -1)" in story(rules, "0:00 go\n0:01 loss\n0:02 loss\n0:03 loss")


# Rule 5


def test_an_entry_advances_one_goal_the_first_in_written_order(moments: Moments) -> None:
    rules = """
    event swim
        attempts 1
        start on go
        in any order both
            step near
                until 2 hits
            step far
                until 2 hits
    """
    log = "0:00 go\n0:01 hit\n0:02 hit\n0:03 hit\n0:04 hit"
    assert [m for m in moments(rules, log) if "done" in m][:2] == [
        "0:02 swim.both.near done #3",
        "0:04 swim.both.far done #5",
    ]


def test_a_goal_consumes_what_completes_it(story: Story) -> None:
    rules = LAP + "    step back\n        until hit\n        before 1 hit\n"
    assert story(rules, "0:00 go\n0:05 hit").startswith("UNFINISHED\n  owed swim.back.goal")


def test_after_a_graver_fault_than_a_note_an_entry_does_nothing_more(story: Story) -> None:
    rules = """
    event swim
        attempts 1
        start on go
        in any order both
            step near
                until hit
            step far
                until turn
                {} on hit
    """
    log = "0:00 go\n0:01 hit\n0:02 turn"
    assert story(rules.format("restart"), log).startswith("UNFINISHED\n  owed swim.both.near.goal: until hit\n")
    assert story(rules.format("note"), log).startswith("GO at 0:02\n")


def test_what_exceeds_a_total_is_not_carried_over(story: Story) -> None:
    rules = """
    event swim
        attempts 1
        start on go
        step first_pull
            until line totals 10 m
        step second_pull
            until line totals 8 m
    """
    assert story(rules, "0:00 go\n0:01 line 7 m\n0:02 line 8 m\n0:03 line 4 m\n0:04 line 4 m").endswith(
        "    = swim.second_pull.goal 8 m, 0 m\n    = swim.first_pull.goal 15 m, 5 m\n"
    )


# Rule 6


def test_a_start_mark_is_consumed_by_the_clause_it_opens(story: Story) -> None:
    rules = """
    event swim
        attempts 1
        start on go
        within 2 hits
        step lap
            start {} hit
            until 2 hits
            within 2 hits
    """
    # The event, in play already, counts the start mark; the lap does not.
    assert "fail swim.within_hit at 0:03 #4 (3, -1)" in story(
        rules.format("on"), "0:00 go\n0:01 hit\n0:02 hit\n0:03 hit"
    )
    assert story(rules.format("with first"), "0:00 go\n0:01 hit\n0:02 hit") == (
        "GO at 0:02\nswim GO\n  1 GO 0:00-0:02\n    = swim.within_hit 2, 0\n    = swim.lap.within_hit 2, 0\n"
    )


def test_a_first_act_is_shown_to_all_inside_and_may_begin_more(moments: Moments) -> None:
    rules = """
    event swim
        attempts 1
        start with first hit
        in order part
            start with first hit
            step lap
                until hit
    """
    assert moments(rules, "0:00 hit") == [
        "0:00 swim begins #1",
        "0:00 swim.part begins #1",
        "0:00 swim.part.lap begins #1",
        "0:00 swim.part.lap done #1",
        "0:00 swim.part done #1",
        "0:00 swim done #1",
    ]


# Rule 7


def test_an_entry_that_ended_an_event_or_attempt_is_not_shown_to_what_opens(story: Story) -> None:
    rules = (
        LAP
        + """
event back
    attempts 2
    step lap
        until hit
        fail on loss
    """
    )
    assert story(rules, "0:00 go\n0:01 hit\n0:02 loss") == (
        "UNFINISHED\n  owed back.lap.goal: until hit\n"
        "swim GO\n  1 GO 0:00-0:01\n"
        "back UNFINISHED\n  1 failed 0:01-0:02\n    fail back.lap.loss at 0:02 #3\n  2 open 0:02-\n"
    )


# Rule 8


def test_marks_with_no_use_are_remarks(story: Story) -> None:
    rules = LAP + "event back\n    attempts 1\n    start on ready\n    step lap\n        until turn\n"
    # Before the start, a second start, a later event's start, and one nobody names; then after the verdict.
    log = "0:00 hit\n0:01 go\n0:02 go\n0:03 ready\n0:04 loss\n0:05 hit\n0:06 ready\n0:07 turn\n0:08 turn"
    assert story(rules, log) == (
        "GO at 0:07\n"
        "  remark no use at 0:00 #1\n"
        "  remark no use at 0:02 #3\n"
        "  remark no use at 0:03 #4\n"
        "  remark no use at 0:04 #5\n"
        "  remark after the verdict at 0:08 #9\n"
        "swim GO\n  1 GO 0:01-0:05\nback GO\n  1 GO 0:06-0:07\n"
    )


def test_a_mark_out_of_order_is_a_fault_where_the_author_says_so(story: Story) -> None:
    rules = """
    event swim
        attempts 1
        start on go
        fail on turn out of order
        step lap
            until hit
        step back
            until turn
    """
    assert story(rules, "0:00 go\n0:01 hit\n0:02 turn").startswith("GO at 0:02\n")
    assert story(rules, "0:00 go\n0:01 turn") == (
        "NO-GO at 0:01\nswim NO-GO\n  1 failed 0:00-0:01\n    fail swim.turn.out_of_order at 0:01 #2\n"
    )
    # A rule that counts the mark uses it.
    counted = rules.replace("        step back", "            within 3 turns\n        step back")
    assert story(counted, "0:00 go\n0:01 turn").startswith("UNFINISHED\n  owed swim.lap.goal")


def test_a_mark_that_would_have_had_a_use_with_another_value_is_remarked_on_so(story: Story) -> None:
    rules = """
    event swim
        attempts 1
        start on check left
        {}
        step lap
            until line at least 20 m
    """
    log = "0:00 check right\n0:01 check left\n0:02 line 5 m\n0:03 turn\n0:04 check both\n0:05 line 20 m"
    told = story(rules.format(""), log)
    assert "  remark value does not fit at 0:00 #1\n" in told
    assert "  remark value does not fit at 0:02 #3\n" in told
    assert "  remark no use at 0:03 #4\n" in told
    assert "  remark no use at 0:04 #5\n" in told  # its start is past: nothing in play names it
    told = story(rules.format("fail on check right"), log)
    assert "  remark value does not fit at 0:04 #5\n" in told
    told = story(rules.format("note on line out of order"), log)
    assert "note swim.line.out_of_order at 0:02 #3" in told and "does not fit at 0:02" not in told
