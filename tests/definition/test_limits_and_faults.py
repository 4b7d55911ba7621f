"""Rules 9 to 16: limits and faults."""

from collections.abc import Callable

Story = Callable[..., str]
Moments = Callable[..., list[str]]

LAP = """
event swim
    attempts 2
    start on go
    step lap
        until hit
"""


# Rule 9


def test_a_clock_runs_from_the_start_mark_and_the_rules_sleep_before_it(story: Story) -> None:
    rules = """
    event swim
        attempts 1
        start on go
        {}
        in order tow
            start on ready
            within 10 s
            fail on loss
            step lap
                until hit
    """
    log = "0:00 go\n0:05 loss\n0:30 ready\n0:40 hit"
    assert story(rules.format("note on turn"), log) == (
        "GO at 0:40\n  remark no use at 0:05 #2\nswim GO\n  1 GO 0:00-0:40\n    = swim.tow.within 10 s, 0 s\n"
    )
    # The clock of the enclosing clause runs on while the tow waits.
    assert "fail swim.within at 0:35\n" in story(rules.format("within 35 s"), log)


def test_rests_are_inside_the_clock_of_the_clause_around_them(story: Story) -> None:
    rules = """
    event swim
        attempts 1
        start on go
        within 30 s
        step lap
            until hit
        rest at least 20 s, else note
        step back
            until turn
    """
    assert story(rules, "0:00 go\n0:05 hit\n0:31 turn") == (
        "NO-GO at 0:30\n  remark after the verdict at 0:31 #3\n"
        "swim NO-GO\n  1 failed 0:00-0:30\n    fail swim.within at 0:30\n"
    )


# Rule 10


def test_count_limits_count_the_mark_with_any_value_the_completing_one_included(story: Story) -> None:
    rules = """
    event swim
        attempts 1
        start on go
        step call
            until check left
            {}
    """
    log = "0:00 go\n0:01 check right\n0:02 check left"
    assert story(rules.format("within 2 checks"), log).endswith("    = swim.call.within_check 2, 0\n")
    assert "fail swim.call.within_check at 0:02 #3 (2, -1)" in story(rules.format("within 1 check"), log)
    assert "fail swim.call.before_check at 0:02 #3 (2, -1)" in story(rules.format("before 2 checks"), log)
    assert story(rules.format("before 3 checks"), log).endswith("    = swim.call.before_check 2, 0\n")


def test_more_than_acts_on_each_after_the_nth_that_fits(story: Story) -> None:
    rules = LAP + "        note on check left or both more than once\n"
    log = "0:00 go\n0:01 check left\n0:02 check right\n0:03 check both\n0:04 check left\n0:05 hit"
    assert story(rules, log) == (
        "GO at 0:05\n  remark value does not fit at 0:02 #3\nswim GO\n  1 GO 0:00-0:05\n"
        "    note swim.lap.check at 0:03 #4 (2, -1)\n"
        "    note swim.lap.check at 0:04 #5 (3, -2)\n"
        "    = swim.lap.check 3, -2\n"
    )


# Rule 11


def test_a_clause_that_would_complete_too_early_fails_the_attempt(story: Story) -> None:
    rules = LAP + "        not before 10 s\n"
    assert "fail swim.lap.not_before at 0:04 #2 (4 s, -6 s)" in story(rules, "0:00 go\n0:04 hit")
    assert story(rules, "0:00 go\n0:10 hit").startswith("GO at 0:10\n")


def test_too_early_is_looked_at_after_all_other_faults_and_after_at_least(story: Story) -> None:
    rules = LAP + "        not before 10 s\n        at least 1 turn\n        fail on hit more than once\n"
    assert "fail swim.lap.at_least_turn at 0:04 #2 (0, -1)" in story(rules, "0:00 go\n0:04 hit")
    with_fault = rules.replace(" more than once", "")
    assert "fail swim.lap.hit at 0:04 #2\n" in story(with_fault, "0:00 go\n0:04 hit")


def test_of_clauses_that_complete_at_once_the_inner_is_judged_first(story: Story) -> None:
    rules = LAP.replace("    step lap", "    not before 10 s\n    step lap") + "        not before 8 s\n"
    assert "fail swim.lap.not_before at 0:04 #2" in story(rules, "0:00 go\n0:04 hit")
    assert "fail swim.not_before at 0:09 #2" in story(rules, "0:00 go\n0:09 hit")


# Rule 12


def test_a_silence_acts_once_and_again_only_after_its_next_mark(story: Story) -> None:
    rules = LAP + "        note on no turn for over 5 s\n"
    log = "0:00 go\n0:05 turn\n0:20 turn\n0:25 turn\n0:31 hit"
    assert story(rules, log).endswith(
        "    note swim.lap.no_turn at 0:10\n"
        "    note swim.lap.no_turn at 0:30\n"
        "    = swim.lap.no_turn 15 s, -10 s\n"
    )


def test_a_silence_for_a_length_or_more_is_strict(story: Story) -> None:
    log = "0:00 go\n0:05 turn\n0:06 hit"
    assert "fail swim.lap.no_turn at 0:05\n" in story(LAP + "        no turn for 5 s or more\n", log)
    assert story(LAP + "        no turn for over 5 s\n", log).endswith("    = swim.lap.no_turn 5 s, 0 s\n")


# Rule 13


def test_a_broken_limit_of_always_ends_the_test_and_its_clock_runs_from_the_first_opening(story: Story) -> None:
    rules = "always\n    within 30 s\n" + LAP + "        fail on loss\n"
    # The clock starts at 0:10, runs on between the attempts, and ends the test with the second one.
    log = "0:05 turn\n0:10 go\n0:20 loss\n0:25 go\n0:41 hit"
    assert story(rules, log) == (
        "NO-GO at 0:40\n  remark no use at 0:05 #1\n  remark after the verdict at 0:41 #5\n"
        "swim NO-GO\n  1 failed 0:10-0:20\n    fail swim.lap.loss at 0:20 #3\n"
        "  2 failed 0:25-0:40\n    fail always.within at 0:40\n"
    )
    # With no attempt open the reason is the test's.
    assert story(rules, "0:10 go\n0:20 loss\n0:41 go") == (
        "NO-GO at 0:40\n  fail always.within at 0:40\n  remark after the verdict at 0:41 #3\n"
        "swim UNFINISHED\n  1 failed 0:10-0:20\n    fail swim.lap.loss at 0:20 #2\n"
    )


def test_the_opening_mark_counts_for_always_only_as_a_first_act(story: Story) -> None:
    rules = "always\n    within 1 hit\n" + LAP.replace("until hit", "until 2 hits")
    first, on = rules.replace("start on go", "start with first hit"), rules.replace("start on go", "start on hit")
    assert "fail always.within_hit at 0:01 #2 (2, -1)" in story(first, "0:00 hit\n0:01 hit")
    assert story(on, "0:00 hit\n0:01 hit").startswith("UNFINISHED\n")


def test_at_least_and_not_before_of_always_are_judged_when_the_test_would_be_go(story: Story) -> None:
    rules = "always\n    at least 2 turns\n    not before 20 s\n" + LAP
    ended = "swim GO\n  1 GO 0:00-0:{}\n"
    assert story(rules, "0:00 go\n0:05 hit") == (
        "NO-GO at 0:05\n  fail always.at_least_turn at 0:05 #2 (0, -2)\n" + ended.format("05")
    )
    assert story(rules, "0:00 go\n0:01 turn\n0:02 turn\n0:05 hit") == (
        "NO-GO at 0:05\n  fail always.not_before at 0:05 #4 (5 s, -15 s)\n" + ended.format("05")
    )
    assert story(rules, "0:00 go\n0:01 turn\n0:02 turn\n0:20 hit") == (
        "GO at 0:20\n  = always.at_least_turn 2, 0\n  = always.not_before 20 s, 0 s\n" + ended.format("20")
    )


def test_faults_of_always_are_live_from_the_first_entry_and_may_find_nothing_open(story: Story) -> None:
    rules = (
        "always\n    fail on stop\n    halt on loss\n    note on turn\n    fail on no ready for over 10 s\n" + LAP
    )
    # The entry that finds nothing open goes on as if it had not been triggered.
    start_on_stop = rules.replace("start on go", "start on stop")
    log = "0:01 loss\n0:02 turn\n0:05 ready\n0:20 stop\n0:21 hit"
    assert story(start_on_stop, log) == (
        "GO at 0:21\n  note always.turn at 0:02 #2\n  = always.no_ready 16 s, -6 s\n"
        "  remark nothing open always.loss at 0:01 #1\n"
        "  remark nothing open always.no_ready at 0:15\n"
        "  remark nothing open always.stop at 0:20 #4\n"
        "swim GO\n  1 GO 0:20-0:21\n"
    )


def test_a_fault_of_always_fails_the_attempt_and_not_the_test(story: Story) -> None:
    rules = "always\n    fail on stop\n" + LAP
    assert story(rules, "0:00 go\n0:01 stop\n0:02 go\n0:03 hit").endswith(
        "  1 failed 0:00-0:01\n    fail always.stop at 0:01 #2\n  2 GO 0:02-0:03\n"
    )


# Rule 14

TOW = """
event swim
    attempts 1
    start on go
    within 10 min
    step lap
        until turn
    rest at least 20 s, else fail
    in order tow
        start on ready
        {}
        step reach
            until 2 hits
            within 30 s
"""


def test_a_restart_waits_for_the_start_mark_and_the_rest_is_not_repeated(moments: Moments) -> None:
    log = "0:00 go\n0:01 turn\n0:30 ready\n0:31 hit\n0:40 loss\n0:42 hit\n0:45 ready\n0:50 hit\n1:15 hit"
    assert moments(TOW.format("restart on loss"), log)[3:] == [
        "0:30 swim.tow begins #3",
        "0:30 swim.tow.reach begins #3",
        "0:45 swim.tow begins #7",
        "0:45 swim.tow.reach begins #7",
        "1:15 swim.tow.reach done #9",
        "1:15 swim.tow done #9",
        "1:15 swim done #9",
    ]


def test_a_restart_at_once_does_not_wait(moments: Moments) -> None:
    log = "0:00 go\n0:01 turn\n0:30 ready\n0:31 hit\n0:40 loss\n0:42 hit\n0:50 hit"
    assert moments(TOW.format("restart at once on loss"), log)[5:8] == [
        "0:40 swim.tow begins #5",
        "0:40 swim.tow.reach begins #5",
        "0:50 swim.tow.reach done #7",
    ]


def test_after_the_last_allowed_restart_the_breach_fails_the_attempt(story: Story) -> None:
    rules = TOW.format("restart at once on loss, at most once")
    log = "0:00 go\n0:01 turn\n0:30 ready\n0:40 loss\n"
    assert story(rules, log + "0:41 loss").endswith(
        "    restart swim.tow.loss at 0:40 #4\n    fail swim.tow.loss.at_most at 0:41 #5 (2, -1)\n"
    )
    assert "    = swim.tow.loss.at_most 1, 0\n" in story(rules, log + "0:45 hit\n0:46 hit")


def test_only_restarts_that_took_place_count_over_the_whole_attempt(story: Story) -> None:
    rules = """
    event swim
        attempts 2
        start on go
        step lap
            until hit
            restart on loss, at most once as again
            fail on loss more than once
        step back
            until turn
    """
    # The restart puts the count of `fail` back, so the second loss asks for a restart again, once too often.
    log = "0:00 go\n0:01 loss\n0:02 loss\n0:03 go\n0:04 loss"
    assert story(rules, log).endswith(
        "  1 failed 0:00-0:02\n"
        "    restart swim.lap.again at 0:01 #2\n"
        "    fail swim.lap.again.at_most at 0:02 #3 (2, -1)\n"
        "  2 open 0:03-\n"
        "    restart swim.lap.again at 0:04 #5\n"
    )


def test_a_restart_of_an_event_stays_within_its_attempt(story: Story, moments: Moments) -> None:
    rules = LAP.replace("    step lap", "    restart on loss\n    step lap") + "        fail on stop\n"
    log = "0:00 go\n0:01 loss\n0:02 hit\n0:03 go\n0:04 hit"
    assert story(rules, log) == (
        "GO at 0:04\n  remark no use at 0:02 #3\nswim GO\n  1 GO 0:00-0:04\n    restart swim.loss at 0:01 #2\n"
    )
    assert moments(rules, log)[2:4] == ["0:03 swim begins #4", "0:03 swim.lap begins #4"]


# Rule 15


def test_a_halt_gives_the_charge_back_unless_charged(story: Story) -> None:
    rules = LAP.replace("attempts 2", "attempts 1") + "        halt on stop{}\n"
    log = "0:00 go\n0:01 stop\n0:02 go\n0:03 hit"
    assert story(rules.format(""), log) == (
        "GO at 0:03\nswim GO\n"
        "  1 halted 0:00-0:01, not charged\n    halt swim.lap.stop at 0:01 #2\n"
        "  2 GO 0:02-0:03\n"
    )
    assert story(rules.format(", charged"), log).startswith("NO-GO at 0:01\n")


def test_after_a_halt_nothing_begins_by_itself(story: Story) -> None:
    # Such a standard is refused when it is read, so here the start mark is taken away afterwards.
    rules = "always\n    halt on stop\n" + LAP
    told = story(rules, "0:01 stop\n0:05 hit", event="swim", without_start=True)
    assert told == (
        "UNFINISHED\n  remark no use at 0:05 #2\n  owed swim: event\n"
        "swim UNFINISHED\n  1 halted 0:00-0:01, not charged\n    halt always.stop at 0:01 #1\n"
    )


# Rule 16


def test_a_disqualification_ends_the_test(story: Story) -> None:
    rules = LAP + "        disqualify on stop\nevent back\n    attempts 1\n    step lap\n        until hit\n"
    assert story(rules, "0:00 go\n0:01 stop\n0:02 go", header="carry on") == (
        "NO-GO at 0:01\n  remark after the verdict at 0:02 #3\n"
        "swim NO-GO\n  1 disqualified 0:00-0:01\n    disqualify swim.lap.stop at 0:01 #2\n"
        "back NOT BEGUN\n"
    )
