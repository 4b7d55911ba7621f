"""Rules 32 to 35: rounds, tries, misses and passes, a round by name, what ends them, what they are judged by."""

from collections.abc import Callable

Story = Callable[..., str]

LADDER = """
event swim
    attempts 1
    start on go
    rounds ladder
        level 1: lap 1 to 2
        level 2: lap 1 to 3
        unmarked rounds are made
        until made_it
        furthest at least level 2 lap 1 "below entry"
        miss on short
        out on 2 misses in a row
        out on stop
"""


def test_a_later_round_named_makes_those_between(story: Story) -> None:
    assert story(LADDER, "0:00 go\n0:01 short level 2 lap 2\n0:02 short level 2 lap 3") == (
        "GO at 0:02\nswim GO\n  1 GO 0:00-0:02\n"
        "    miss swim.ladder.short at level 2 lap 2 at 0:01 #2\n"
        "    miss swim.ladder.short at level 2 lap 3 at 0:02 #3\n"
        "    out swim.ladder.out at 0:02 #3 (2, -1)\n"
        "    swim.ladder 3 made 2 missed furthest level 2 lap 1\n"
        "    = swim.ladder.out 2, -1\n"
        "    = swim.ladder.furthest 3, 0\n"
    )


def test_a_made_round_clears_the_row_and_a_change_of_level_means_nothing(story: Story) -> None:
    cleared = story(LADDER, "0:00 go\n0:01 short\n0:02 made_it\n0:03 short\n0:04 made_it\n0:05 made_it")
    assert cleared.startswith("GO at 0:05") and "out" not in cleared.replace("ladder.out 1, 0", "")
    across = story(LADDER, "0:00 go\n0:01 made_it\n0:02 short level 1 lap 2\n0:03 short level 2 lap 1")
    assert "out swim.ladder.out at 0:03" in across
    assert "fail swim.ladder.furthest at 0:03 #4 (1, -2)" in across
    assert "swim.ladder 1 made 2 missed furthest level 1 lap 1\n" in across


def test_out_on_a_mark_and_no_round_made(story: Story) -> None:
    told = story(LADDER, "0:00 go\n0:01 stop\n0:02 short")
    assert told == (
        "NO-GO at 0:01\n  remark after the verdict at 0:02 #3\nswim NO-GO\n  1 failed 0:00-0:01\n"
        "    out swim.ladder.out_stop at level 1 lap 1 at 0:01 #2\n"
        "    fail swim.ladder.furthest at 0:01 #2 (0, -3)\n"
        "    swim.ladder 0 made 0 missed furthest None\n"
    )


def test_the_open_round_is_owed(story: Story) -> None:
    assert story(LADDER, "0:00 go\n0:01 made_it level 2 lap 1") == (
        "UNFINISHED\n  owed swim.ladder: level 2 lap 2\nswim UNFINISHED\n  1 open 0:00-\n"
        "    swim.ladder 3 made 0 missed furthest level 2 lap 1 so far\n"
    )


BAR = """
event swim
    attempts 1
    start on go
    rounds bar
        at 1.8 m, 184 cm, 1.88 m
        tries 3
        {}
        until made_it
        made at least 1
        miss on short
        pass on waived
        out on 3 misses in a row
        note on short out of order
"""
PASSED = BAR.format("unmarked rounds are passed")


def test_a_pass_neither_adds_nor_clears(story: Story) -> None:
    log = "0:00 go\n0:01 short\n0:02 waived\n0:03 short\n0:04 waived\n0:05 short"
    assert "out swim.bar.out at 0:05 #6 (3, -1)" in story(PASSED, log)
    assert "swim.bar 0 made 0 missed furthest None\n" in story(PASSED, log)


def test_so_many_missed_tries_close_a_round(story: Story) -> None:
    rules = PASSED.replace("out on 3 misses in a row", "out on 9 misses in all")
    told = story(rules, "0:00 go\n0:01 short\n0:02 short\n0:03 short\n0:04 made_it")
    assert "swim.bar 1 made 1 missed furthest 184 cm so far\n" in told


def test_a_round_that_is_closed_or_not_yet_open_is_of_no_use(story: Story) -> None:
    told = story(PASSED, "0:00 go\n0:01 made_it 1.84 m\n0:02 made_it 180 cm\n0:03 short 1.8 m\n0:04 waived")
    assert "remark no use at 0:02 #3" in told
    assert "note swim.bar.short.out_of_order at 1.88 m at 0:03 #4" in told
    assert told.startswith("GO at 0:04") and "swim.bar 1 made 0 missed furthest 184 cm\n" in told
    owed = story(BAR.format("paced over 3 m"), "0:00 go\n0:01 made_it 1.88 m")
    assert "remark no use at 0:01 #2" in owed and "owed swim.bar: 1.8 m" in owed


def test_unmarked_rounds_that_are_missed_count_as_misses(story: Story) -> None:
    rules = BAR.format("unmarked rounds are missed").replace("3 misses", "2 misses")
    told = story(rules, "0:00 go\n0:01 made_it 1.88 m")
    assert "out swim.bar.out at 0:01 #2 (2, -1)" in told
    assert "swim.bar 0 made 2 missed furthest None\n" in told and "remark" not in told


SETS = """
event swim
    attempts 1
    start on go
    rounds sets
        3 rounds
        tries 2
        within 3 turns
        missed at most 1
        step dive
            until hit
            within 5 s
            at least 1 check
            fail on loss
        rest at least 2 s
        step back
            for 4 s
            restart on ready, at most once
"""


def test_without_a_limit_on_rounds_all_must_be_made(story: Story) -> None:
    rules = SETS.replace("        missed at most 1\n", "")
    log = "0:00 go\n" + "".join(f"0:{at} check left\n0:{at} hit\n" for at in (11, 18)) + "0:30 ready"
    told = story(rules, log)
    assert "miss swim.sets.dive.within at round 1 at 0:05\n" in told
    assert "miss swim.sets.dive.within at round 1 at 0:10\n" in told
    assert "fail swim.sets.made at 0:24 (2, -1)\n" in told
    assert "swim.sets 2 made 1 missed furthest round 3\n" in told


def test_a_limit_inside_misses_the_try_and_a_fault_fails_the_attempt(story: Story) -> None:
    told = story(SETS, "0:00 go\n0:04 hit\n0:05 check left\n0:06 hit\n0:13 loss")
    assert told == (
        "NO-GO at 0:13\nswim NO-GO\n  1 failed 0:00-0:13\n"
        "    miss swim.sets.dive.at_least_check at round 1 at 0:04 #2 (0, -1)\n"
        "    fail swim.sets.dive.loss at round 2 at 0:13 #5\n"
        "    swim.sets 1 made 0 missed furthest round 1 so far\n"
    )


def test_what_is_inside_begins_anew_with_each_try_and_the_rules_of_the_rounds_go_on(
    story: Story, moments: Callable[..., list[str]]
) -> None:
    log = "0:00 go\n0:01 turn\n0:05.000001 turn\n0:06 turn\n0:06 check left\n0:06 hit\n0:08 turn"
    assert "fail swim.sets.within_turn at round 1 at 0:08 #7 (4, -1)" in story(SETS, log)
    assert moments(SETS, log)[:6] == [
        "0:00 swim begins #1",
        "0:00 swim.sets begins #1",
        "0:00 swim.sets.dive begins #1",
        "0:05 swim.sets.dive begins",
        "0:06 swim.sets.dive done #6",
        "0:08 swim.sets.back begins",
    ]


def test_a_restart_of_the_rounds_starts_them_over(story: Story) -> None:
    rules = LADDER + "        restart on turn\n"
    told = story(rules, "0:00 go\n0:01 made_it level 1 lap 2\n0:02 short\n0:03 turn\n0:04 made_it")
    assert "swim.ladder 1 made 0 missed furthest level 1 lap 1 so far" in told
    assert "owed swim.ladder: level 1 lap 2" in told


# --- made, missed and the furthest as figures ------------------------------------------------------------------

BOTH = """
always
    made in swim.ladder plus made in dive.pool at least 4 "too few in both"
grade high
    furthest in swim.ladder at least level 2 lap 1
grade low
    furthest in swim.ladder over level 1 lap 1
event swim
    attempts 1
    start on go
    missed in ladder at most 1 "missed too many"
    score from furthest in ladder
        at least level 2 lap 1 gives 5
        at least level 1 lap 2 gives 3
        otherwise gives 0
    rounds ladder
        level 1: lap 1 to 2
        level 2: lap 1 to 2
        unmarked rounds are made
        until made_it
        miss on short
event dive
    attempts 3
    best by made in pool
    start on ready
    rounds pool
        3 rounds
        until hit
        miss on loss
        score from missed
            at most 0 gives 2
            at most 1 gives 1
            otherwise fails
"""
SWUM = "0:00 go\n0:01 made_it level 1 lap 2\n"


def test_a_limit_from_outside_a_tick_before_at_and_after(story: Story) -> None:
    at = story(BOTH, SWUM + "0:02 made_it\n0:03 short")
    assert "= swim.missed_in_ladder 1, 0\n" in at
    after = story(BOTH, SWUM + "0:02 short\n0:03 short")
    assert "    fail swim.missed_in_ladder at 0:03 #4 (2, -1)\n" in after
    before = story(BOTH, SWUM + "0:02 made_it\n0:03 made_it")
    assert "= swim.missed_in_ladder 0, 1\n" in before


def test_a_sum_in_always_is_of_the_best_attempt(story: Story) -> None:
    swum = SWUM + "0:02 short\n0:03 made_it\n"  # three made, the furthest the last
    one = "0:10 ready\n0:11 hit\n0:12 hit\n0:13 loss\n"
    worse = "0:20 ready\n0:21 loss\n0:22 hit\n0:23 hit\n"
    told = story(BOTH, swum + one + worse + "0:30 end")
    assert told.startswith("GO at 0:30\n  = always.made_in_ladder_plus_made_in_pool 5, 1\n")
    few = story(BOTH, "0:00 go\n0:01 made_it level 1 lap 2\n0:02 made_it\n0:03 short\n" + "0:10 ready\n0:11 loss")
    assert few.startswith("UNFINISHED")
    least = story(BOTH, swum + "0:10 ready\n0:11 hit\n0:12 loss\n0:13 loss\n0:20 end")
    assert "fail dive.pool.score at 0:13" in least


def test_a_round_that_ends_no_rounds_is_a_figure_that_is_not_there(story: Story) -> None:
    chosen = """
event swim
    attempts 1
    start on go
    any one of ways
        step across
            start on hit
            until loss
        rounds ladder
            start on ready
            2 rounds
            until hit
            miss on loss
    made in ways.ladder at least 1 "no round at all"
"""
    assert "fail swim.made_in_ladder at 0:02 #3\n" in story(chosen, "0:00 go\n0:01 hit\n0:02 loss")
    asked = story(chosen, "0:00 go\n0:01 ready\n0:02 hit\n0:03 loss")
    assert asked.startswith("GO at 0:03") and "= swim.made_in_ladder 1, 0\n" in asked
    assert "ways.ladder.made" not in asked


def test_grades_ask_for_a_round(story: Story) -> None:
    dived = "0:10 ready\n0:11 hit\n0:12 hit\n0:13 hit\n0:20 end"
    high = story(BOTH, SWUM + "0:02 made_it\n0:03 short\n" + dived)
    assert "  = grades.high.furthest_in_ladder 3, 0\n" in high
    low = story(BOTH, "0:00 go\n0:01 made_it level 1 lap 2\n0:02 short\n0:03 short\n" + dived)
    assert "grades.high" not in low


def test_all_rounds_must_be_made_only_where_no_line_asks(story: Story) -> None:
    plain = """
event swim
    attempts 1
    start on go
    rounds ladder
        2 rounds
        until hit
        miss on loss
"""
    entries = "0:00 go\n0:01 hit\n0:02 loss"
    assert "fail swim.ladder.made at 0:02 #3 (1, -1)" in story(plain, entries)
    for line in ("missed in ladder at most 2", "score from made in ladder\n        otherwise gives 1"):
        assert story(f"{plain}    {line}\n", entries).startswith("GO at 0:02")
