"""Verdicts made by hand, to see how they are shown."""

from fractions import Fraction

import pytest
from attrs import evolve

from standfast.quantity import COUNT, UNITS, Unit
from standfast.verdict import (
    AttemptResult,
    CloseCall,
    Deadline,
    Doubt,
    Ending,
    EventResult,
    Figured,
    Firmness,
    Measure,
    Moment,
    Outcome,
    Owed,
    Reason,
    ReasonKind,
    Remark,
    RemarkKind,
    Shift,
    Verdict,
    spoken,
)

SECOND, METRE = UNITS["s"], UNITS["m"]


def amount(number: str | int, unit: Unit = COUNT) -> Measure:
    return spoken(Fraction(number), unit)


@pytest.fixture
def no_go() -> Verdict:
    third = Reason(
        kind=ReasonKind.FAIL,
        path="water.tread.hand_down",
        words="fail on hand_down more than 2 times",
        sentence="a third hand under water",
        at=92_400_000,
        entry=7,
        line=8,
        figure=amount(3),
        margin=amount(-1),
    )
    called = Reason(
        kind=ReasonKind.NOTE,
        path="heaving.rest_between",
        words="rest at least 2 min between",
        sentence="called up early",
        at=20_000_000,
        entry=3,
        line=4,
        figure=amount("19.5", SECOND),
        margin=amount("-100.5", SECOND),
    )
    late = Reason(
        kind=ReasonKind.FAIL,
        path="heaving.within",
        words="within 10 s",
        sentence=None,
        at=10_000_000,
        deadline=Deadline(since=0, reached=False),
    )
    figures = (
        Figured(path="heaving.throws.within_throw", words="within 4 throws", figure=amount(4), margin=amount(0)),
        Figured(
            path="heaving.throws.line",
            words="until line_in totals 60 ft",
            figure=amount("181/3", UNITS["ft"]),
            margin=amount("1/3", UNITS["ft"]),
        ),
    )
    return Verdict(
        log="lane-3.jsonl",
        session="2026-04-11/lane-3",
        candidate="C-014",
        standard="boat_crew_entry",
        edition="3.1",
        standard_digest="ab" * 32,
        log_digest="0f" * 32,
        outcome=Outcome.NO_GO,
        decided_at=92_400_000,
        events=(
            EventResult(
                label="heaving",
                title="Heaving line",
                outcome=Outcome.GO,
                attempts=(
                    AttemptResult(
                        number=1,
                        opened_at=0,
                        ended_at=10_000_000,
                        ending=Ending.FAILED,
                        charged=True,
                        reasons=(late,),
                        figures=(),
                        moments=(Moment(at=0, path="heaving", completed=False, entry=1),),
                    ),
                    AttemptResult(
                        number=2,
                        opened_at=20_000_000,
                        ended_at=25_000_001,
                        ending=Ending.GO,
                        charged=True,
                        reasons=(called,),
                        figures=figures,
                        moments=(Moment(at=25_000_001, path="heaving", completed=True, entry=4),),
                    ),
                ),
            ),
            EventResult(
                label="water",
                title=None,
                outcome=Outcome.NO_GO,
                attempts=(
                    AttemptResult(
                        number=1,
                        opened_at=30_000_000,
                        ended_at=92_400_000,
                        ending=Ending.FAILED,
                        charged=True,
                        reasons=(third,),
                        figures=(),
                        moments=(),
                    ),
                ),
            ),
        ),
        reasons=(),
        figures=(),
        remarks=(
            Remark(kind=RemarkKind.NO_USE, at=5_000_000, entry=2, line=3),
            Remark(kind=RemarkKind.NOTHING_OPEN, at=28_000_000, entry=5, line=6, path="always.stop_call"),
            Remark(kind=RemarkKind.AFTER_VERDICT, at=93_000_000, entry=8, line=9),
        ),
        owed=(),
    )


@pytest.fixture
def go(no_go: Verdict) -> Verdict:
    whole = Figured(
        path="always.within", words="within 1 h", figure=amount(30, SECOND), margin=amount(3570, SECOND)
    )
    return evolve(no_go, outcome=Outcome.GO, decided_at=25_000_001, events=no_go.events[:1], figures=(whole,))


@pytest.fixture
def unfinished(no_go: Verdict) -> Verdict:
    water = no_go.events[1]
    attempt = evolve(water.attempts[0], ended_at=None, ending=Ending.OPEN, reasons=())
    event = evolve(water, outcome=Outcome.UNFINISHED, attempts=(attempt,))
    owed = (Owed(path="water.tread.goal", words="for 4 min"), Owed(path="engine", words="event"))
    return evolve(no_go, outcome=Outcome.UNFINISHED, decided_at=None, events=(event,), owed=owed)


@pytest.fixture
def void(no_go: Verdict) -> Verdict:
    def condition(
        kind: ReasonKind, name: str, words: str, figure: Measure | None, margin: Measure | None
    ) -> Reason:
        return Reason(
            kind=kind,
            path=f"conditions.{name}",
            words=words,
            sentence=None,
            at=None,
            figure=figure,
            margin=margin,
        )

    reasons = (
        condition(ReasonKind.UNMET, "depth", "depth at least 2.5 m", amount("2.1", METRE), amount("-0.4", METRE)),
        condition(ReasonKind.UNMET, "aid", "aid yes", None, None),
        condition(ReasonKind.NOT_STATED, "lookouts", "lookouts at least 2", None, None),
    )
    return evolve(no_go, outcome=Outcome.VOID, decided_at=None, reasons=reasons)


@pytest.fixture
def owed_at_the_end(unfinished: Verdict) -> Verdict:
    reason = Reason(
        kind=ReasonKind.OWED, path="water.tread.goal", words="for 4 min", sentence=None, at=100_000_000
    )
    return evolve(unfinished, outcome=Outcome.NO_GO, decided_at=100_000_000, reasons=(reason,), owed=())


@pytest.fixture
def close_call(go: Verdict) -> Verdict:
    late = Shift(entry=4, line=5, at=25_000_001, by=100_001)
    failed = CloseCall(outcome=Outcome.NO_GO, grade=None, least=100_001, shifts=(late,))
    early_end = Shift(entry=None, line=None, at=26_000_000, by=-300_000)
    graded = CloseCall(outcome=Outcome.GO, grade="shore", least=300_000, shifts=(late, early_end))
    return evolve(go, doubt=Doubt(within=300_000, firmness=Firmness.CLOSE_CALL, others=(failed, graded)))


@pytest.fixture
def every_verdict(
    go: Verdict, no_go: Verdict, unfinished: Verdict, void: Verdict, owed_at_the_end: Verdict, close_call: Verdict
) -> tuple[Verdict, ...]:
    stands = evolve(go, doubt=Doubt(within=300_000, firmness=Firmness.STANDS))
    return go, no_go, unfinished, void, owed_at_the_end, close_call, stands
