"""What a picture of time shows: bars, limits, entries, corrections, close calls; and all of it in words."""

from collections.abc import Callable
from fractions import Fraction

from standfast.quantity import UNITS, Quantity
from standfast.report.verdict_page.course import attempt_timeline
from standfast.report.verdict_page.judged import Judged
from standfast.report.verdict_page.session import session_timeline
from standfast.report.verdict_page.timeline import Bar, Extent, Look, Row, Timeline

Find = Callable[..., list[Judged]]
S = 1_000_000


def of(judged: Judged, event: str, number: int) -> Timeline:
    result = next(each for each in judged.verdict.events if each.label == event)
    return attempt_timeline(judged, result, result.attempts[number - 1])


def row(shown: Timeline, said: str) -> Row:
    (found,) = (each for each in shown.rows if each.said == said)
    return found


def test_a_clause_put_back_has_a_bar_for_each_begin_and_what_failed_is_marked(
    shipped: Find,
) -> None:
    shown = of(shipped("let_go_twice_then_passed")[0], "water", 1)
    assert row(shown, "water").bars == (Bar(900 * S, 1370 * S, Look.FAILED),)
    assert row(shown, "tread").bars == (Bar(900 * S, 1140 * S, Look.GO),)
    assert row(shown, "casualty").bars == (
        Bar(1270 * S, 1320 * S, Look.AGAIN),
        Bar(1320 * S, 1370 * S, Look.FAILED),
    )
    assert row(shown, "reach").bars == (Bar(1270 * S, 1292 * S, Look.GO), Bar(1320 * S, 1340 * S, Look.GO))
    assert row(shown, "tow").bars == (Bar(1292 * S, 1320 * S, Look.AGAIN), Bar(1340 * S, 1370 * S, Look.CUT))


def test_a_limit_reaches_from_each_begin_as_far_as_it_allows(shipped: Find) -> None:
    shown = of(shipped("let_go_twice_then_passed")[0], "water", 1)
    assert row(shown, "within 30 s, of reach").extents == (
        Extent(1270 * S, (1300 * S,)),
        Extent(1320 * S, (1350 * S,)),
    )
    engine = of(shipped("let_go_twice_then_passed")[0], "engine", 1)
    assert row(engine, "rest at least 20 s, before pulls").extents == (Extent(341 * S, (361 * S,)),)


def test_a_silence_that_broke_a_rule_is_shown_and_so_is_a_limit_that_did(shipped: Find, swum: Find) -> None:
    shown = of(swum("corrected")[0], "swim", 1)
    assert row(shown, "fail on no call for over 3 min, of swim").extents == (
        Extent(141 * S, (321 * S,), broken=321 * S),
    )
    late = of(shipped("heaving_attempts_spent")[0], "heaving", 2)
    (broken,) = (extent for each in late.rows for extent in each.extents if extent.broken is not None)
    assert broken.ends[0] - broken.since == 90 * S and broken.broken == broken.ends[0]


def test_a_rest_that_was_too_short_is_marked_where_it_was_broken(every: list[Judged]) -> None:
    shown = session_timeline(next(each for each in every if "anchor_came_back_early" in each.log.name))
    assert shown is not None
    early = Extent(70 * S, (370 * S,), broken=240 * S)
    said = "rest at least 5 min, between attempts at anchors"
    assert row(shown, said).extents == (early, Extent(240 * S, (540 * S,)))
    assert f"{said}: from 1:10 to 6:10, broken at 4:00" in [line for _, line in shown.lines()]


def test_entries_say_what_they_did(shipped: Find) -> None:
    ticks = {tick.number: tick for tick in of(shipped("let_go_twice_then_passed")[0], "water", 1).ticks}
    assert list(ticks) == list(range(14, 28))
    assert (ticks[14].look, ticks[14].told) == (Look.PLAIN, ("begins water and tread",))
    assert (
        ticks[25].look is Look.AGAIN
        and ticks[25].told[0] == "restart by water.casualty.let_go, let go of the casualty"
    )
    assert ticks[27].look is Look.FAILED and ticks[20].words == "20 line_in 25 m"


def test_corrected_entries_stand_where_they_were_and_are(swum: Find) -> None:
    ticks = [(tick.number, tick.at, tick.corrected) for tick in of(swum("corrected")[0], "swim", 1).ticks]
    assert [each for each in ticks if each[2]] == [
        (3, 95 * S, "amended"),
        (3, 100 * S, "was here"),
        (6, 140 * S, "struck"),
    ]


def test_a_close_call_is_shown_at_the_entry_it_hangs_on(shipped: Find) -> None:
    (judged,) = shipped("exactly_at_every_limit", Quantity(((Fraction(1), UNITS["s"]),)))
    (hit,) = (tick for tick in of(judged, "heaving", 1).ticks if tick.shifted is not None)
    assert (hit.number, hit.shifted) == (7, 90 * S + 1)
    assert hit.told[-1].replace("\u00a0", " ") == "close call: NO-GO were it 0.000001 s later"


def test_the_session_has_the_attempts_and_the_entries_outside_them(shipped: Find) -> None:
    (judged,) = shipped("did_not_answer")
    shown = session_timeline(judged)
    assert shown is not None
    assert [(each.said, len(each.bars)) for each in shown.rows] == [("heaving", 1), ("engine", 1), ("water", 2)]
    assert [tick.number for tick in shown.ticks] == [16]
    assert "16:25: water, attempt 1 is over: failed" in [text for _, text in shown.lines()]


def test_one_attempt_that_holds_all_entries_needs_no_picture_of_the_session(
    shipped: Find,
) -> None:
    (judged,) = shipped("heaving_attempts_spent")
    assert session_timeline(judged) is not None
    alone = [each for each in shipped("engine_attempts_spent") if len(each.attempts()) == 1]
    assert all(session_timeline(each) is None for each in alone)


def test_every_entry_stands_in_one_picture_and_in_its_words(every: list[Judged]) -> None:
    seen = 0
    for judged in every:
        shown = [attempt_timeline(judged, event, attempt) for event, attempt in judged.attempts()]
        whole = session_timeline(judged)
        ticks = [tick for each in (*shown, *([whole] if whole else [])) for tick in each.ticks]
        assert sorted(tick.number for tick in ticks if not tick.is_gone) == [
            entry.number for entry in judged.entries
        ]
        for each in shown:
            lines = [text for _, text in each.lines()]
            assert all(any(f"entry {tick.number}, " in line for line in lines) for tick in each.ticks)
            assert all(each.since <= tick.at <= each.until for tick in each.ticks)
            assert all(each.since <= bar.since <= bar.until <= each.until for row in each.rows for bar in row.bars)
        seen += len(ticks)
    assert seen > 900


def test_of_very_many_entries_those_alike_are_told_together(swum: Find) -> None:
    shown = of(swum("many_entries")[0], "swim", 1)
    lines = [text for _, text in shown.lines()]
    assert "2:30 to 2:37.8: entries 72 to 111, call" in lines and len(lines) < 25 and len(shown.ticks) == 117
