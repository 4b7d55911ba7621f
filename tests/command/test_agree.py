"""Several graders on the command line. `bench` is the folder and the command line of `conftest.py`."""

import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

import standfast

Codes = Callable[[Any], list[str]]
Valid = Callable[[str, object], None]


@pytest.fixture
def two(bench: Any) -> Any:
    """Three candidates by G-1 and G-2; of C-2 the second has one throw less, and a NO-GO becomes a GO."""
    bench.standard("a.standard", limit=3)
    for candidate in ("C-1", "C-2", "C-3"):
        log = bench.log(f"one/{candidate}.jsonl", candidate=candidate, grader="G-1").read_text()
        if candidate == "C-3":
            log = log.replace('{"at": "0:14", "mark": "throw"}\n', "")
            bench.write(f"one/{candidate}.jsonl", log)
        log = log.replace("G-1", "G-2").replace('"0:12.5"', '"0:12.9"')
        if candidate == "C-2":
            log = log.replace('{"at": "0:10", "mark": "throw"}\n', "")
        bench.write(f"two/{candidate}.jsonl", log)
    return bench


def test_where_the_logs_differ_and_how_far_the_graders_agree(two: Any) -> None:
    ran = two.run("agree", "--standard", "a.standard", "one", "two")
    assert (ran.code, ran.err) == (1, "")
    candidate, *_ = [part for part in ran.out.split("\n\n\n") if part.startswith("candidate C-2")]
    assert candidate.splitlines() == [
        "candidate C-2, session S-1: the outcomes differ",
        "standard rope_throw, edition 1",
        "              G-1    G-2",
        "  verdict     NO-GO  GO",
        "  event rope  NO-GO  GO",
        "",
        "G-1 and G-2: 6 entries matched, 1 of one alone; times up to 0.4 s apart",
        "         G-1               G-2               apart",
        "  throw  0:10 (entry 4)    -                 only one has it",
        "  throw  0:12.5 (entry 5)  0:12.9 (entry 4)  0.4 s",
    ]
    assert ran.out.endswith(
        "agreement of G-1, G-2 under rope_throw, edition 1\n"
        "about       what                  graders   candidates  value\n"
        "verdict     graded alike          all       3           2 of 3\n"
        "verdict     Cohen's kappa         G-1, G-2  3           0.400\n"
        "verdict     Fleiss' kappa         all       3           0.333\n"
        "verdict     Krippendorff's alpha  all       3           0.444\n"
        "event rope  graded alike          all       3           2 of 3\n"
        "event rope  Cohen's kappa         G-1, G-2  3           0.400\n"
        "event rope  Fleiss' kappa         all       3           0.333\n"
        "event rope  Krippendorff's alpha  all       3           0.444\n"
    )


def test_the_document_is_that_of_its_schema(two: Any, valid: Valid) -> None:
    document = two.run("agree", "--format=json", "--standard", "a.standard", "one", "two").document
    valid("agree", document)
    (one,) = document["classes"]
    assert one["graders"] == ["G-1", "G-2"] and len(one["candidates"]) == 3
    assert one["agreements"][0]["cohen_kappa"][0]["value"] == "0.400000"
    (difference,) = one["candidates"][1]["differences"]
    alone, apart = difference["pairs"][3:5]
    assert alone["second"] is None and alone["second_later_by"] is None
    assert apart["second_later_by"] == "0:00.400000"


def test_alike_is_nothing_to_object_to(bench: Any, valid: Valid) -> None:
    bench.standard("a.standard")
    for grader in ("G-1", "G-2", "G-3"):
        for candidate in ("C-1", "C-2"):
            bench.log(f"{grader}{candidate}.jsonl", grader=grader, candidate=candidate)
    ran = bench.run("agree", "--standard", "a.standard", ".")
    assert ran.code == 0 and ran.out.count("the outcomes are alike") == 2
    assert ran.out.count("not defined: all are GO, so nothing varies") == 10
    assert "nan" not in ran.out.lower()
    valid("agree", bench.run("agree", "--standard", "a.standard", ".", "--format=json").document)


def test_one_candidate_alone_has_no_coefficient(bench: Any) -> None:
    bench.standard("a.standard")
    logs = [bench.log("a.jsonl", grader="G-1"), bench.log("b.jsonl")]
    ran = bench.run("agree", "--standard", "a.standard", *logs)
    assert ran.code == 0 and "not defined: it takes two candidates or more" in ran.out
    assert "G-1, b.jsonl" in ran.out


def test_what_is_stated_otherwise_and_the_end_are_said(bench: Any) -> None:
    bench.standard("a.standard")
    first = bench.log("a.jsonl", grader="G-1")
    text = bench.log("b.jsonl", grader="G-2", conditions={"lookouts": 1}).read_text()
    second = bench.write("b.jsonl", text + '{"end": "0:20"}\n')
    ran = bench.run("agree", "--standard", "a.standard", first, second)
    assert ran.code == 1 and "verdict GO VOID" in ran.said
    assert "lookouts 2 1 stated otherwise" in ran.said and "end - 0:20" in ran.said


def test_nothing_to_compare_is_an_error(bench: Any, codes: Codes) -> None:
    bench.standard("a.standard")
    logs = [bench.log("a.jsonl", grader="G-1"), bench.log("b.jsonl", grader="G-2", candidate="C-2")]
    ran = bench.run("agree", "--standard", "a.standard", *logs)
    assert ran.code == 2 and "error G601 found no candidate of a session is in the logs of two graders" in ran.said
    assert codes(bench.run("agree", "--standard", "a.standard", "--format=json", *logs)) == [
        "G601",
        "G604",
        "G604",
    ]
    assert codes(bench.run("agree", "--standard", "a.standard", "--format=json", logs[0])) == ["G601"]


def test_who_is_in_the_logs_of_one_grader_alone_is_told(bench: Any, codes: Codes, valid: Valid) -> None:
    bench.standard("a.standard")
    for grader, candidate, session in (
        ("G-1", "C-1", "S-1"),
        ("G-1", "C-5", "S-1"),
        ("G-1", "C-1", "S-2"),
        ("G-2", "C-1", "S-1"),
        ("G-2", "C-05", "S-1"),
        ("G-2", "C-1", "S-02"),
    ):
        bench.log(f"{grader}{candidate}{session}.jsonl", grader=grader, candidate=candidate, session=session)
    ran = bench.run("agree", "--standard", "a.standard", ".")
    assert ran.code == 1 and ran.said.count("doubt G604") == 4
    for who, session, grader in (
        ("C-5", "S-1", "G-1"),
        ("C-05", "S-1", "G-2"),
        ("C-1", "S-2", "G-1"),
        ("C-1", "S-02", "G-2"),
    ):
        said = f"found `{who}` in session `{session}` under `rope_throw`, edition `1`, only by grader `{grader}`"
        assert said in ran.said
    document = bench.run("agree", "--standard", "a.standard", "--format=json", ".").document
    valid("agree", document)
    assert [one["code"] for one in document["diagnostics"]] == ["G604"] * 4


def test_a_grader_has_one_log_of_a_candidate(bench: Any) -> None:
    bench.standard("a.standard")
    logs = [
        bench.log(f"{name}.jsonl", grader=grader) for name, grader in (("a", "G-1"), ("b", "G-1"), ("c", "G-2"))
    ]
    ran = bench.run("agree", "--standard", "a.standard", *logs)
    assert ran.code == 1 and "b.jsonl, line 1, column 1: doubt G602" in ran.said
    assert "in session `S-1` already, `a.jsonl`; this one is left out" in ran.said


def test_logs_in_doubt_are_told_and_the_others_compared(two: Any, codes: Codes) -> None:
    bad = two.write("bad.jsonl", "not json\n")
    ran = two.run("agree", "--standard", "a.standard", "--format=json", "one", "two", bad, "gone.jsonl")
    assert ran.code == 2 and [code[0] for code in codes(ran)] == ["L", "F"]
    assert len(ran.document["classes"][0]["candidates"]) == 3
    assert two.run("agree", "--standard", "a.standard", "-").code == 2


def test_without_the_library_the_rest_is_said(two: Any, tmp_path: Path) -> None:
    two.write("nltk/__init__.py", "raise ModuleNotFoundError('no nltk', name='nltk')\n")
    places = os.pathsep.join([str(tmp_path), str(Path(standfast.__file__).parent.parent)])
    command = [sys.executable, "-m", "standfast", "agree", "--standard", "a.standard"]
    env = {**os.environ, "PYTHONPATH": places}
    ran, alike = (
        subprocess.run([*command, *logs], env=env, capture_output=True, encoding="utf-8", timeout=60)
        for logs in (("one", "two"), ("one/C-1.jsonl", "two/C-1.jsonl"))
    )
    assert (ran.returncode, alike.returncode) == (1, 0) and "Traceback" not in ran.stderr + alike.stderr
    assert ran.stderr.count("advice G603") == 1 and "error" not in ran.stderr
    assert "pip install 'standfast[agreement]'" in " ".join(ran.stderr.split())
    assert (
        "the outcomes differ" in ran.stdout and ran.stdout.count("not computed: its package is not installed") == 6
    )
