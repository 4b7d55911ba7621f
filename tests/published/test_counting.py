"""Published rules that turn on whose entries are counted: false starts, two of three referees.

A log is written as a case writes it: `0:02 reaction 0.080 s for P`, `0:05 light white by G-1`.
"""

import json
from collections.abc import Callable
from pathlib import Path

import pytest

from standfast.language.printer import canonical
from standfast.language.reader import read
from standfast.model.standard import Standard
from standfast.source import Source
from standfast.verdict import Verdict

_HERE = Path(__file__).resolve().parent
Load = Callable[[Path], Standard]
Verdicts = Callable[[Standard, str, bytes], tuple[Verdict, ...]]


def _log(standard: Standard, candidates: list[str], lines: list[str], **conditions: object) -> bytes:
    header = {"session": "s", "standard": standard.name, "candidates": candidates, "conditions": conditions}
    entries: list[dict[str, str]] = []
    for line in lines:
        at, mark, *words = line.split()
        entry = {"at": at, "mark": mark, "candidate": "all" if len(candidates) > 1 else candidates[0]}
        for word, key in (("for", "candidate"), ("by", "by")):
            if word in words:
                place = words.index(word)
                entry[key] = words[place + 1]
                del words[place : place + 2]
        entries.append(entry | ({"value": " ".join(words)} if words else {}))
    return "".join(json.dumps(each) + "\n" for each in (header, *entries)).encode()


# False starts, three generations of one rule. Before 2003 the second by the same athlete is out; from 2003 the
# first by anyone warns the whole field and any later one, by anyone, is out; from 2010 the first is out. A false
# start is a reaction of less than 0.100 s. Seen:
# https://speedendurance.com/2012/07/25/no-false-start-rule-change/ ,
# https://sportsworldintel.com/athletics-false-starts-are-there-exceptions-to-the-main-rule/ and
# http://tuckerbox.blogspot.com/2010/01/new-year-and-new-rule-re-false-starts.html
_THREE_STARTS = [
    "0:00 set",
    "0:02 reaction 0.080 s for P",
    "1:00 set",
    "1:02 reaction 0.099 s for Q",
    "2:00 set",
    "2:02 reaction 0.050 s for P",
]


def _outs(
    load: Load, verdicts: Verdicts, edition: int, lines: list[str]
) -> dict[str, list[tuple[str, int | None, str]]]:
    """For each athlete every disqualification: its path, its instant in seconds, what was measured."""
    standard = load(_HERE / f"sprint_start_{edition}.standard")
    found = {}
    for verdict in verdicts(standard, "starts.jsonl", _log(standard, ["P", "Q"], lines)):
        reasons = [reason for event in verdict.events for each in event.attempts for reason in each.reasons]
        found[verdict.candidate] = [
            (r.path, None if r.at is None else r.at // 1_000_000, "" if r.margin is None else str(r.margin))
            for r in reasons
        ]
    return found


@pytest.mark.parametrize(
    ("edition", "out"),
    [(1, {"P": 122, "Q": None}), (2, {"P": 122, "Q": 62}), (3, {"P": 2, "Q": 62})],
    ids=["same athlete", "whole field", "first"],
)
def test_three_generations_of_the_false_start(
    load: Load, verdicts: Verdicts, edition: int, out: dict[str, int | None]
) -> None:
    found = _outs(load, verdicts, edition, _THREE_STARTS)
    for athlete, at in out.items():
        assert [(path, when) for path, when, _ in found[athlete]] == (
            [] if at is None else [("race.reaction", at)]
        )


def test_the_count_of_the_whole_field_is_what_is_compared(load: Load, verdicts: Verdicts) -> None:
    found = _outs(load, verdicts, 2, _THREE_STARTS)
    assert [margin for _, _, margin in found["Q"]] == ["-1"]  # the second of the field
    assert [margin for _, _, margin in found["P"]] == ["-2"]  # the third, of which P made two


@pytest.mark.parametrize("edition", [1, 2, 3])
def test_a_reaction_of_exactly_a_tenth_is_legal(load: Load, verdicts: Verdicts, edition: int) -> None:
    legal = [
        line.replace("0.080", "0.100").replace("0.099", "0.100").replace("0.050", "0.100")
        for line in _THREE_STARTS
    ]
    assert _outs(load, verdicts, edition, legal) == {"P": [], "Q": []}
    early = [line.replace("0.100", "0.099999") for line in legal]
    assert [when for _, when, _ in _outs(load, verdicts, edition, early)["P"]] == [122 if edition < 3 else 2]


# Olympic weightlifting. A lift is good by a majority of three referees; the lifter has 60 s to begin, 120 s when
# following himself or herself; three tries. Seen: https://niweightlifting.com/official-rules-and-regulations/ and
# https://vdocuments.us/iwf-rules-of-technique.html . The instants beside the limits are derived.
_LIFT = ["0:00 called", "0:00 clock one_minute", "0:30 lifted_off"]
_JUDGED = [
    (["white", "white", "red"], "GO", []),
    (["white", "red", "red"], "UNFINISHED", ["snatch.judged.light"]),
    (["red", "white", "white"], "GO", []),
    (["red", "red", "white"], "UNFINISHED", ["snatch.judged.light"]),
]


def _lifted(load: Load, verdicts: Verdicts, lines: list[str]) -> tuple[str, list[str]]:
    standard = load(_HERE / "barbell_lift.standard")
    (verdict,) = verdicts(standard, "lift.jsonl", _log(standard, ["L"], lines, referees=3))
    return verdict.outcome.value, [r.path for e in verdict.events for a in e.attempts for r in a.reasons]


@pytest.mark.parametrize(("lights", "outcome", "reasons"), _JUDGED)
def test_a_lift_is_good_by_two_of_three_referees(
    load: Load, verdicts: Verdicts, lights: list[str], outcome: str, reasons: list[str]
) -> None:
    shown = [f"0:4{number} light {light} by R-{number}" for number, light in enumerate(lights, 1)]
    assert _lifted(load, verdicts, [*_LIFT, *shown]) == (outcome, reasons)


@pytest.mark.parametrize(
    ("clock", "at", "reasons"),
    [
        ("one_minute", "1:00", []),
        ("one_minute", "1:00.1", ["snatch.time_to_begin.in_turn.within"]),
        ("two_minutes", "1:59.9", []),
        ("two_minutes", "2:00", []),
        ("two_minutes", "2:00.1", ["snatch.time_to_begin.following.within"]),
    ],
)
def test_the_time_to_begin(load: Load, verdicts: Verdicts, clock: str, at: str, reasons: list[str]) -> None:
    lines = ["0:00 called", f"0:00 clock {clock}", f"{at} lifted_off"]
    assert _lifted(load, verdicts, lines) == ("UNFINISHED", reasons)


def test_three_tries_and_no_fourth(load: Load, verdicts: Verdicts) -> None:
    lines = []
    for minute in (0, 3, 6, 9):
        lines += [f"{minute}:00 called", f"{minute}:00 clock one_minute", f"{minute}:20 lifted_off"]
        lines += [f"{minute}:30 light red by R-{number}" for number in (1, 2, 3)]
    assert _lifted(load, verdicts, lines) == ("NO-GO", ["snatch.judged.light"] * 3)


@pytest.mark.parametrize("name", ["barbell_lift", "sprint_start_1", "sprint_start_2", "sprint_start_3"])
def test_the_rule_files_are_laid_out_as_usual(name: str) -> None:
    source = Source(name, (_HERE / f"{name}.standard").read_text(encoding="utf-8"))
    tree, _ = read(source)
    assert tree is not None and canonical(tree) == source.text
