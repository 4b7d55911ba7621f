"""Weightlifting: three tries at each of two lifts, the total is that of the best of each.

Seen: https://niweightlifting.com/official-rules-and-regulations/ (three tries a lift, a lift is good if two of
three referees say so, no total without a good lift in each) and https://vdocuments.us/iwf-rules-of-technique.html.
The cards are our own. That the bar is never lighter than before is outside the language: it is a rule about the
calling of the bar, for the marshal.
"""

import json
from collections.abc import Callable
from pathlib import Path

import pytest

from standfast.model.standard import Standard
from standfast.verdict import Outcome, Verdict

_HERE = Path(__file__).resolve().parent
Load = Callable[[Path], Standard]
Verdicts = Callable[[Standard, str, bytes], tuple[Verdict, ...]]


def _verdict(load: Load, verdicts: Verdicts, snatch: str, jerk: str, *, ends: bool) -> Verdict:
    """`100O 105X` are tries at 100 kg, good, and at 105 kg, no lift."""
    standard = load(_HERE / "lift_total.standard")
    lines: list[dict[str, object]] = [{"session": "s", "standard": standard.name, "candidate": "L-1"}]
    minute = 0
    for mark, tries in (("called", snatch), ("called_again", jerk)):
        for each in tries.split():
            minute += 2
            lines.append({"at": f"{minute}:00", "mark": mark, "value": f"{each[:-1]} kg"})
            light = "white" if each.endswith("O") else "red"
            for second, grader in ((20, "G-1"), (21, "G-2")):
                lines.append({"at": f"{minute}:{second}", "mark": "light", "value": light, "by": grader})
    if ends:
        lines.append({"end": f"{minute + 2}:00"})
    (verdict,) = verdicts(standard, "card.jsonl", "".join(json.dumps(line) + "\n" for line in lines).encode())
    return verdict


def _best(verdict: Verdict) -> list[list[int]]:
    return [[attempt.number for attempt in event.attempts if attempt.best] for event in verdict.events]


@pytest.mark.parametrize("ends", [True, False])
def test_a_total_of_230(load: Load, verdicts: Verdicts, ends: bool) -> None:
    verdict = _verdict(load, verdicts, "100O 105X 105X", "130X 130X 130O", ends=ends)
    assert verdict.outcome is Outcome.GO
    (total,) = verdict.figures
    assert (total.path, str(total.figure)) == ("always.both_lifts", "230 kg")
    assert _best(verdict) == [[1], [3]]


def test_three_failures_at_the_first_lift_are_no_total(load: Load, verdicts: Verdicts) -> None:
    verdict = _verdict(load, verdicts, "90X 92X 92X", "", ends=True)
    assert (verdict.outcome, verdict.decided_at) == (Outcome.NO_GO, 381_000_000)
    assert verdict.events[1].outcome is Outcome.NOT_BEGUN
    assert verdict.figures == ()


def test_the_second_lift_may_begin_after_a_good_try_and_ends_with_the_log(load: Load, verdicts: Verdicts) -> None:
    verdict = _verdict(load, verdicts, "100O 104O", "130O 126O", ends=True)
    assert verdict.outcome is Outcome.GO
    assert [str(figure.figure) for figure in verdict.figures] == ["234 kg"]
    assert _best(verdict) == [[2], [1]]


def test_without_an_end_a_further_try_may_come(load: Load, verdicts: Verdicts) -> None:
    verdict = _verdict(load, verdicts, "100O", "130O", ends=False)
    assert verdict.outcome is Outcome.UNFINISHED
    assert [owed.path for owed in verdict.owed] == ["clean_and_jerk.best"]


def test_a_tie_goes_to_the_earlier_try(load: Load, verdicts: Verdicts) -> None:
    verdict = _verdict(load, verdicts, "100O 100O 99O", "130O", ends=True)
    assert _best(verdict) == [[1], [1]]
