"""Rules 22 to 24 and 26: the verdict, its reasons and figures, paths, and the case of one event."""

import re
from collections.abc import Callable
from pathlib import Path

import standfast.definition
from standfast.quantity import clock
from standfast.verdict import Verdict

Story = Callable[..., str]
Moments = Callable[..., list[str]]

LAP = """
event swim
    attempts 1
    start on go
    step lap
        until hit
"""


# Rule 22


def test_a_condition_unmet_or_not_stated_makes_it_void(story: Story) -> None:
    rules = """
    conditions
        depth at least 2.5 m
        wind from 2 kt to 12 kt
        lookouts exactly 2
        aid yes
        heaters no
    event swim
        attempts 1
        start on go
        conditions
            swell under 50 cm
        step lap
            until hit
            within 10 s
    """
    given = """\
    with depth 240 cm
    with wind 13 kt
    with lookouts 4
    with aid no
    with swell 0.5 m\n"""
    # The events are listed all the same; nothing is owed and `owed at the end fails` adds nothing.
    log = "0:00 go\n0:05 end"
    assert story(rules, log, given=given, header="owed at the end fails") == (
        "VOID\n"
        "  unmet conditions.depth (2.4 m, -0.1 m)\n"
        "  unmet conditions.wind (13 kt, -1 kt)\n"
        "  unmet conditions.lookouts (4, -2)\n"
        "  unmet conditions.aid\n"
        "  not stated conditions.heaters\n"
        "  unmet swim.conditions.swell (50 cm, 0 cm)\n"
        "swim UNFINISHED\n  1 open 0:00-\n"
    )
    good = given.replace("240 cm", "2.5 m").replace("13 kt", "12 kt").replace("lookouts 4", "lookouts 2")
    good = good.replace("aid no", "aid yes").replace("0.5 m", "0.4 m") + "    with heaters no\n"
    assert story(rules, log, given=good).startswith("UNFINISHED\n")


OWING = """
event swim
    attempts 2
    start on go
    in any order all_of_it
        step near
            until 2 hits
        in order far
            step lap
                until turn
            rest at least 20 s, else note
            step back
                for 10 s
        step latter
            start on ready
            until stop
            fail on loss
event later
    attempts 1
    start on go
    step lap
        until hit
"""


def test_what_is_owed_is_listed_in_written_order(story: Story) -> None:
    assert story(OWING, "0:00 go\n0:01 turn") == (
        "UNFINISHED\n"
        "  owed swim.all_of_it.near.goal: until 2 hits\n"
        "  owed swim.all_of_it.far.back.rest: rest at least 20 s\n"
        "  owed swim.all_of_it.latter.start: start on ready\n"
        "  owed later: event\n"
        "swim UNFINISHED\n  1 open 0:00-\nlater NOT BEGUN\n"
    )
    assert story(OWING, "0:00 go\n0:01 ready\n0:02 loss") == (
        "UNFINISHED\n"
        "  owed swim.start: start on go\n"
        "  owed later: event\n"
        "swim UNFINISHED\n  1 failed 0:00-0:02\n    fail swim.all_of_it.latter.loss at 0:02 #3\nlater NOT BEGUN\n"
    )
    assert story(OWING, "0:05 end").endswith("swim NOT BEGUN\nlater NOT BEGUN\n")


def test_a_rest_between_attempts_that_no_mark_ends_is_owed(story: Story) -> None:
    rules = (
        LAP
        + """
event back
    attempts 2, rest at least 20 s between, else note
    step lap
        until turn
        fail on loss
"""
    )
    assert "  owed back.rest_between: rest at least 20 s\n" in story(rules, "0:00 go\n0:01 hit\n0:02 loss")


def test_owed_at_the_end_fails(story: Story) -> None:
    log = "0:00 go\n0:01 turn\n0:05 end"
    assert story(OWING, log, header="owed at the end fails") == (
        "NO-GO at 0:05\n"
        "  owed swim.all_of_it.near.goal at 0:05\n"
        "  owed swim.all_of_it.far.back.rest at 0:05\n"
        "  owed swim.all_of_it.latter.start at 0:05\n"
        "  owed later at 0:05\n"
        "swim UNFINISHED\n  1 open 0:00-\nlater NOT BEGUN\n"
    )
    without_end = log.removesuffix("\n0:05 end")
    assert story(OWING, without_end, header="owed at the end fails").startswith("UNFINISHED\n  owed swim.")


# Rule 23


def test_figures_stand_the_narrowest_first_equal_ones_as_written(story: Story) -> None:
    rules = """
    event swim
        attempts 1
        start on go
        under 1 min
        step lap
            until line totals 60 m
            within 20 s
            before 5 lines
            at least 1 line
            no turn for over 15 s
            fail on loss more than 2 times
            restart on stop more than once, at most 2 times
    """
    log = "0:00 go\n0:01 line 20 m\n0:06 turn\n0:07 line 40 m\n0:09 turn\n0:10 loss\n0:15 line 7.5 m"
    # Completed at 0:07, so the later entries come after the verdict.
    told = story(rules, log)
    assert told[told.index("    =") :] == (
        "    = swim.lap.goal 60 m, 0 m\n"
        "    = swim.lap.before_line 2, 2\n"
        "    = swim.lap.no_turn 6 s, 9 s\n"
        "    = swim.lap.within 7 s, 13 s\n"
        "    = swim.under 7 s, 53 s\n"
        "    = swim.lap.at_least_line 2, 1\n"
        "    = swim.lap.loss 0, 2\n"
        "    = swim.lap.stop 0, 1\n"
        "    = swim.lap.stop.at_most 0, 2\n"
    )


def test_figures_are_those_of_the_run_that_completed(story: Story) -> None:
    rules = (
        LAP
        + "        within 10 s\n        fail on turn more than 4 times\n        restart on loss, at most 2 times\n"
    )
    assert story(rules, "0:00 go\n0:01 turn\n0:05 loss\n0:06 turn\n0:07 hit").endswith(
        "    restart swim.lap.loss at 0:05 #3\n"
        "    = swim.lap.loss.at_most 1, 1\n"
        "    = swim.lap.turn 1, 3\n"
        "    = swim.lap.within 2 s, 8 s\n"
    )


def test_figures_are_in_the_unit_of_the_limit_and_exact(story: Story) -> None:
    rules = LAP.replace("until hit", "until line totals 10 ft")
    assert "    = swim.lap.goal 5000/381 ft, 1190/381 ft\n" in story(rules, "0:00 go\n0:01 line 4 m")


def test_a_fault_on_a_value_gives_it_and_how_far_it_lies_past_what_would_not_fit(story: Story) -> None:
    def told(pattern: str, value: str) -> str:
        text = story(LAP + f"        note on line {pattern}\n", f"0:00 go\n0:01 line {value}\n0:02 hit")
        return text.split("note swim.lap.line")[1].splitlines()[0].removeprefix(" at 0:01 #2")

    assert told("over 300 cm", "3.1 m") == " (310 cm, -10 cm)"
    assert told("at least 3 m", "3.5 m") == " (3.5 m, -0.5 m)"
    assert told("at least 3 m", "3 m") == " (3 m, 0 m)"
    assert told("under 3 m", "1 m") == " (1 m, -2 m)"
    assert told("at most 3 m", "3 m") == " (3 m, 0 m)"
    assert told("from 1 m to 5 m", "2 m") == " (2 m, -1 m)"
    assert told("from 1 m to 5 m", "4.5 m") == " (4.5 m, -0.5 m)"
    assert told("exactly 3 m", "3 m") == " (3 m, 0 m)"


def test_a_fault_that_is_counted_gives_the_count_and_one_used_up_the_restarts(story: Story) -> None:
    rules = (
        LAP
        + "        note on line over 3 m more than once\n        restart on line over 9 m, at most once as far\n"
    )
    log = "0:00 go\n0:01 line 4 m\n0:02 line 4 m\n0:03 line 10 m\n0:04 line 11 m"
    told = story(rules, log)
    assert "note swim.lap.line at 0:02 #3 (2, -1)\n" in told
    assert "restart swim.lap.far at 0:03 #4 (10 m, -1 m)\n" in told
    assert "fail swim.lap.far.at_most at 0:04 #5 (2, -1)\n" in told


def test_a_fault_on_a_value_out_of_order_gives_it_too(story: Story) -> None:
    rules = LAP + "        note on line over 3 m out of order\n"
    assert "(4 m, -1 m)\n" in story(rules, "0:00 go\n0:01 line 4 m\n0:02 hit")


def test_a_broken_deadline_says_when_its_clock_began(judge_all: Callable[..., tuple[Verdict, ...]]) -> None:
    rules = """
    event swim
        attempts 2, rest at most 40 s between, else note
        start on go
        under 20 s
        step lap
            until hit
            note on no turn for over 4 s
            note on no turn for 5 s or more as longer
        rest at most 8 s, else note
        step back
            start on ready
            until hit
    """
    (verdict,) = judge_all(rules, "0:01 go\n0:03 turn\n0:09 hit\n1:05 go\n1:05 end")
    found = [reason for event in verdict.events for attempt in event.attempts for reason in attempt.reasons]
    told = [
        (r.path, clock(r.at or 0), r.deadline and clock(r.deadline.since), r.deadline and r.deadline.reached)
        for r in (*found, *verdict.reasons)
    ]
    assert told == [
        ("swim.lap.no_turn", "0:07", "0:03", False),
        ("swim.lap.longer", "0:08", "0:03", True),
        ("swim.back.rest_at_most", "0:17", "0:09", False),
        ("swim.under", "0:21", "0:01", True),
        ("swim.rest_between_at_most", "1:01", "0:21", False),
    ]


def test_a_reason_belongs_to_the_attempt_that_was_open_else_to_the_test(story: Story) -> None:
    rules = "always\n    note on turn\n    disqualify on stop\n" + LAP
    assert story(rules, "0:00 turn\n0:01 go\n0:02 turn\n0:03 hit") == (
        "GO at 0:03\n  note always.turn at 0:00 #1\nswim GO\n  1 GO 0:01-0:03\n    note always.turn at 0:02 #3\n"
    )
    assert story(rules, "0:00 stop") == ("NO-GO at 0:00\n  disqualify always.stop at 0:00 #1\nswim NOT BEGUN\n")


# Rule 24


def test_paths_are_made_of_labels(story: Story) -> None:
    rules = """
    event swim
        attempts 1
        start on go
        in order part
            step lap
                until hit
                note on loss
                note on turn out of order
                note on no ready for over 3 s
                note on stop as called
    """
    log = "0:00 go\n0:01 loss\n0:02 turn\n0:04 stop\n0:05 hit"
    told = story(rules, log)
    assert re.findall(r"note (\S+) at", told) == [
        "swim.part.lap.loss",
        "swim.part.lap.turn.out_of_order",
        "swim.part.lap.no_ready",
        "swim.part.lap.called",
    ]


# Rule 26


def test_the_case_of_one_event_opens_it_at_nought_where_it_has_no_start_mark(
    story: Story, moments: Moments
) -> None:
    rules = "always\n    within 9 s\n" + LAP + "event back\n    attempts 1\n    step lap\n        until turn\n"
    assert story(rules, "0:05 turn", event="back") == (
        "GO at 0:05\n  = always.within 5 s, 4 s\nback GO\n  1 GO 0:00-0:05\n"
    )
    assert moments(rules, "0:05 turn", event="back")[:2] == ["0:00 back begins", "0:00 back.lap begins"]
    assert "fail always.within at 0:09" in story(rules, "0:10 turn", event="back")


def test_each_rule_is_cited_where_it_lives() -> None:
    folder = Path(standfast.definition.__file__).parent
    text = "\n".join(path.read_text(encoding="utf-8") for path in sorted(folder.glob("*.py")))
    cited = {
        int(n) for list_ in re.findall(r"[Rr]ules? ([0-9, and to]*[0-9])", text) for n in re.findall(r"\d+", list_)
    }
    assert {*range(1, 25), 26} <= cited
