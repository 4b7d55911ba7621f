"""Rules 17 to 21: attempts, rests, groups, and how events decide the test."""

from collections.abc import Callable

Story = Callable[..., str]
Moments = Callable[..., list[str]]


# Rule 17


def test_an_attempt_opens_on_its_start_mark_or_at_once_and_is_charged(story: Story) -> None:
    rules = """
    event swim
        attempts 1
        start on go
        step lap
            until hit
    event back
        attempts 2
        step lap
            until turn
            fail on loss
    """
    assert story(rules, "0:00 go\n0:01 hit\n0:02 loss\n0:03 loss") == (
        "NO-GO at 0:03\nswim GO\n  1 GO 0:00-0:01\nback NO-GO\n"
        "  1 failed 0:01-0:02\n    fail back.lap.loss at 0:02 #3\n"
        "  2 failed 0:02-0:03\n    fail back.lap.loss at 0:03 #4\n"
    )


def test_attempts_without_limit_are_never_spent(story: Story) -> None:
    rules = """
    event swim
        attempts without limit
        start on go
        step lap
            until hit
            fail on loss
    """
    log = "".join(f"0:0{second} go\n0:0{second} loss\n" for second in range(4)) + "0:05 go\n0:06 hit"
    assert story(rules, log).startswith("GO at 0:06\n")


def test_between_attempts_only_start_marks_and_always_are_live(story: Story) -> None:
    rules = """
    always
        note on stop
    event swim
        attempts 2
        start on go
        fail on turn
        step lap
            until hit
            fail on loss
    """
    assert story(rules, "0:00 go\n0:01 loss\n0:02 turn\n0:03 stop\n0:04 go\n0:05 hit") == (
        "GO at 0:05\n  note always.stop at 0:03 #4\n  remark no use at 0:02 #3\n"
        "swim GO\n  1 failed 0:00-0:01\n    fail swim.lap.loss at 0:01 #2\n  2 GO 0:04-0:05\n"
    )


# Rule 18

PULLS = """
event swim
    attempts 1
    start on go
    {around}
    step lap
        until hit
    rest {rest}
    step pulls
        {start}
        until 2 turns
"""


def test_a_rest_that_needs_no_mark_lasts_exactly_its_least_length(moments: Moments) -> None:
    rules = PULLS.format(around="note on stop", rest="at least 20 s, else note", start="note on loss")
    assert moments(rules, "0:00 go\n0:05 hit\n0:24 turn\n0:30 turn\n0:31 turn")[2:5] == [
        "0:05 swim.lap done #2",
        "0:25 swim.pulls begins",
        "0:31 swim.pulls done #5",
    ]


def test_a_mark_before_the_least_length_triggers_the_fault(story: Story) -> None:
    rules = PULLS.format(around="note on stop", rest="at least 20 s, else {}", start="start with first turn")
    log = "0:00 go\n0:05 hit\n0:15 turn\n0:26 turn"
    assert "    fail swim.pulls.rest at 0:15 #3 (10 s, -10 s)\n" in story(rules.format("fail"), log)
    # A note: the item begins all the same.
    assert story(rules.format("note"), log) == (
        "GO at 0:26\nswim GO\n  1 GO 0:00-0:26\n"
        "    note swim.pulls.rest at 0:15 #3 (10 s, -10 s)\n"
        "    = swim.pulls.rest 10 s, -10 s\n"
    )


def test_the_fault_of_a_rest_stands_in_the_clause_around_it(moments: Moments, story: Story) -> None:
    rest, start = "at least 20 s, else restart, at most once", "start with first turn"
    rules = PULLS.format(around="note on stop", rest=rest, start=start)
    log = "0:00 go\n0:05 hit\n0:15 turn\n0:16 hit\n0:17 go\n0:20 hit\n0:40 turn\n0:41 turn"
    assert moments(rules, log)[3:5] == ["0:17 swim begins #5", "0:17 swim.lap begins #5"]
    assert story(rules, log) == (
        "GO at 0:41\n  remark no use at 0:16 #4\nswim GO\n  1 GO 0:00-0:41\n"
        "    restart swim.pulls.rest at 0:15 #3 (10 s, -10 s)\n"
        "    = swim.pulls.rest 20 s, 0 s\n"
        "    = swim.pulls.rest.at_most 1, 0\n"
    )
    again = "0:00 go\n0:05 hit\n0:15 turn\n0:17 go\n0:20 hit\n0:25 turn"
    assert "    fail swim.pulls.rest.at_most at 0:25 #6 (2, -1)\n" in story(rules, again)


def test_the_greatest_length_acts_once_a_rest(story: Story) -> None:
    rules = PULLS.format(around="note on stop", rest="at most 20 s, else note", start="start on turn")
    assert story(rules, "0:00 go\n0:05 hit\n0:50 turn\n0:51 turn\n0:52 turn") == (
        "GO at 0:52\nswim GO\n  1 GO 0:00-0:52\n"
        "    note swim.pulls.rest_at_most at 0:25\n"
        "    = swim.pulls.rest_at_most 45 s, -25 s\n"
    )
    assert "note" not in story(rules, "0:00 go\n0:05 hit\n0:25 turn\n0:51 turn\n0:52 turn")


BETWEEN = """
event swim
    attempts 2, rest {} between, else {}
    start on go
    step lap
        until hit
        fail on loss
        halt on stop
"""


def test_a_rest_between_attempts_starts_however_the_attempt_ended(story: Story) -> None:
    log = "0:00 go\n0:10 stop\n0:20 go\n0:25 hit"
    assert story(BETWEEN.format("at least 20 s", "note"), log) == (
        "GO at 0:25\nswim GO\n  1 halted 0:00-0:10, not charged\n    halt swim.lap.stop at 0:10 #2\n"
        "  2 GO 0:20-0:25\n"
        "    note swim.rest_between at 0:20 #3 (10 s, -10 s)\n"
        "    = swim.rest_between 10 s, -10 s\n"
    )


def test_coming_too_early_may_cost_an_attempt(story: Story, moments: Moments) -> None:
    rules, log = BETWEEN.format("at least 20 s", "fail"), "0:00 go\n0:10 loss\n0:20 go\n0:25 hit"
    assert story(rules, log) == (
        "NO-GO at 0:20\n  remark after the verdict at 0:25 #4\n"
        "swim NO-GO\n  1 failed 0:00-0:10\n    fail swim.lap.loss at 0:10 #2\n"
        "  2 failed 0:20-0:20\n    fail swim.rest_between at 0:20 #3 (10 s, -10 s)\n"
    )
    assert moments(rules, log) == ["0:00 swim begins #1", "0:00 swim.lap begins #1"]


def test_staying_away_too_long_may_cost_an_attempt_and_the_rest_starts_again(story: Story) -> None:
    rules = BETWEEN.format("at most 20 s", "fail").replace("attempts 2", "attempts 4")
    assert story(rules, "0:00 go\n0:10 loss\n0:55 go\n0:56 hit") == (
        "GO at 0:56\nswim GO\n  1 failed 0:00-0:10\n    fail swim.lap.loss at 0:10 #2\n"
        "  2 failed 0:30-0:30\n    fail swim.rest_between_at_most at 0:30\n"
        "  3 failed 0:50-0:50\n    fail swim.rest_between_at_most at 0:50\n"
        "  4 GO 0:55-0:56\n    = swim.rest_between_at_most 5 s, 15 s\n"
    )


def test_the_note_of_coming_too_early_belongs_to_the_attempt_that_opens(story: Story) -> None:
    rules = BETWEEN.format("at least 20 s", "note")
    assert story(rules, "0:00 go\n0:10 loss\n0:20 go").endswith(
        "  2 open 0:20-\n    note swim.rest_between at 0:20 #3 (10 s, -10 s)\n"
    )


def test_the_note_of_staying_away_too_long_belongs_to_the_test(story: Story) -> None:
    rules = BETWEEN.format("at most 20 s", "note")
    assert story(rules, "0:00 go\n0:10 loss\n0:40 go").startswith(
        "UNFINISHED\n  note swim.rest_between_at_most at 0:30\n"
    )


def test_an_event_without_a_start_mark_opens_again_after_its_rest(story: Story) -> None:
    rules = """
    event swim
        attempts 1
        start on go
        step lap
            until hit
    event back
        attempts 2, rest at least 20 s between, else note
        step lap
            until turn
            fail on loss
    """
    assert story(rules, "0:00 go\n0:01 hit\n0:10 loss\n0:20 turn\n0:31 turn") == (
        "GO at 0:31\n  remark no use at 0:20 #4\nswim GO\n  1 GO 0:00-0:01\n"
        "back GO\n  1 failed 0:01-0:10\n    fail back.lap.loss at 0:10 #3\n  2 GO 0:30-0:31\n"
    )


# Rule 19


def test_items_of_any_order_run_side_by_side(moments: Moments) -> None:
    rules = """
    event swim
        attempts 1
        start on go
        in any order both
            step near
                until hit
            step far
                start on ready
                until turn
    """
    assert moments(rules, "0:00 go\n0:01 ready\n0:02 turn\n0:03 hit") == [
        "0:00 swim begins #1",
        "0:00 swim.both begins #1",
        "0:00 swim.both.near begins #1",
        "0:01 swim.both.far begins #2",
        "0:02 swim.both.far done #3",
        "0:03 swim.both.near done #4",
        "0:03 swim.both done #4",
        "0:03 swim done #4",
    ]


# Rule 20


def test_the_start_mark_chooses_and_only_a_restart_of_the_group_opens_the_choice_again(story: Story) -> None:
    rules = """
    event swim
        attempts 1
        start on go
        any one of ways
            restart on stop
            step left_way
                start on check left
                until hit
                restart on loss
            step right_way
                start on check right
                until turn
        step home
            until ready
    """
    chosen = "0:00 go\n0:01 check left\n"
    # The other item is neither begun nor owed.
    assert "  owed swim.ways.left_way.goal: until hit\nswim" in story(rules, chosen)
    assert "no use at 0:02 #3" in story(rules, chosen + "0:02 check right")
    assert "  owed swim.home.goal: until ready\nswim" in story(rules, chosen + "0:02 hit")
    # A restart of the item waits for its own start mark alone.
    assert "  owed swim.ways.left_way.start: start on check left\nswim" in story(rules, chosen + "0:02 loss")
    assert (
        "  owed swim.ways.left_way.start: start on check left\n"
        "  owed swim.ways.right_way.start: start on check right\n"
    ) in story(rules, chosen + "0:02 stop")


# Rule 21

TWO = """
event swim
    attempts 1
    start on go
    step lap
        until hit
        fail on loss
event back
    attempts 1
    start on ready
    step lap
        until turn
        disqualify on stop
"""


def test_the_test_is_go_when_every_event_is_and_no_go_from_the_first_that_is_not(story: Story) -> None:
    assert story(TWO, "0:00 go\n0:01 hit\n0:02 ready\n0:03 turn").startswith("GO at 0:03\n")
    assert story(TWO, "0:00 go\n0:01 loss\n0:02 ready") == (
        "NO-GO at 0:01\n  remark after the verdict at 0:02 #3\n"
        "swim NO-GO\n  1 failed 0:00-0:01\n    fail swim.lap.loss at 0:01 #2\nback NOT BEGUN\n"
    )


def test_with_carry_on_in_the_header_later_events_are_still_judged(story: Story) -> None:
    told = story(TWO, "0:00 go\n0:01 loss\n0:02 ready\n0:03 turn\n0:04 turn", header="carry on")
    assert told == (
        "NO-GO at 0:01\n  remark after the verdict at 0:04 #5\n"
        "swim NO-GO\n  1 failed 0:00-0:01\n    fail swim.lap.loss at 0:01 #2\nback GO\n  1 GO 0:02-0:03\n"
    )


def test_with_events_in_any_order_each_opens_on_its_own_start_mark(story: Story) -> None:
    log = "0:00 ready\n0:01 go\n0:02 turn\n0:03 go\n0:04 hit"
    assert story(TWO, log, header="events in any order") == (
        "GO at 0:04\n  remark no use at 0:01 #2\nswim GO\n  1 GO 0:03-0:04\nback GO\n  1 GO 0:00-0:02\n"
    )


KEPT = """
event swim
    attempts 1
    start on go
    carry on
    step lap
        until hit
        within 2 hits
        fail on loss
        fail on hit more than once
    step back
        until turn
        restart on ready, at most once
        at least 1 check
        not before 10 s
"""


def test_carry_on_in_an_event_keeps_failures_and_fails_at_the_last_item(story: Story) -> None:
    # A failure is kept once; too few and too early are both kept; the attempt fails when its last item is done.
    assert story(KEPT, "0:00 go\n0:01 loss\n0:02 loss\n0:03 hit\n0:05 turn") == (
        "NO-GO at 0:05\nswim NO-GO\n  1 failed 0:00-0:05\n"
        "    fail swim.lap.loss at 0:01 #2\n"
        "    fail swim.back.at_least_check at 0:05 #5 (0, -1)\n"
        "    fail swim.back.not_before at 0:05 #5 (2 s, -8 s)\n"
    )


def test_a_kept_failure_weighs_like_a_note_for_what_the_entry_does_next(moments: Moments) -> None:
    rules = KEPT.replace("until hit", "until 2 hits")
    assert "0:02 swim.lap done #3" in moments(rules, "0:00 go\n0:01 hit\n0:02 hit")


def test_a_restart_that_failed_the_attempt_does_nothing_more_in_it(story: Story) -> None:
    log = "0:00 go\n0:01 hit\n0:02 ready\n0:03 ready\n0:04 ready\n0:05 check left\n0:15 turn"
    assert story(KEPT, log).endswith(
        "  1 failed 0:00-0:15\n"
        "    restart swim.back.ready at 0:02 #3\n"
        "    fail swim.back.ready.at_most at 0:03 #4 (2, -1)\n"
    )


def test_a_limit_of_always_is_not_kept(story: Story) -> None:
    assert story("always\n    within 5 s\n" + KEPT, "0:00 go\n0:01 loss\n0:06 hit").endswith(
        "  1 failed 0:00-0:05\n    fail swim.lap.loss at 0:01 #2\n    fail always.within at 0:05\n"
    )
