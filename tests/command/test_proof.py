"""Proof-reading from the command line. `bench` is the folder and the command line of `conftest.py`."""

from collections.abc import Callable
from typing import Any

import pytest

from standfast.codes import CODES
from standfast.proofing.samples import samples

Codes = Callable[[Any], list[str]]


FACTS = """\
rope_throw, edition 1
  an attempt that ends GO takes
    rope  0:00 to 1:30
  marks to look out for at once
    rope.throws  2

"""

DOUBTED = """\
standard doubted "Doubted"
    edition "1"
    in force from 2026-03-01

marks
    go "A signal"
    touch "A touch"
    unused "A mark"

event swim "Swim"
    attempts 1
    start on go
    ACCEPT
    step there
        until touch
    step back
        until touch
"""


def doubted(bench: Any, accept: str = 'guidance "None."') -> Any:
    return bench.write("d.standard", DOUBTED.replace("ACCEPT", accept))


def test_a_standard_that_holds(bench: Any) -> None:
    ran = bench.run("proof", bench.standard("a.standard"))
    assert (ran.code, ran.out, ran.err) == (0, f"{FACTS}no errors, no doubts, 1 case holds\n", "")


def test_a_failed_case_is_shown_where_it_says_so(bench: Any, codes: Codes) -> None:
    path = bench.standard("a.standard", limit=2)
    ran = bench.run("proof", path)
    assert ran.code == 2
    assert ran.out.startswith("a.standard, line 29, column 5: error C301\n")
    assert "what decided: `rope.throws.within_throw` fails at 0:04;" in ran.out
    assert ran.out.endswith("1 error, no doubts, 1 case fails\n")
    assert codes(bench.run("proof", "--format", "json", path)) == ["C301"]


def test_no_case_is_spoken_of_where_none_could_be_run(bench: Any) -> None:
    bad = bench.write("bad.standard", "standard 1\n")
    assert "case" not in bench.run("proof", bad).out.splitlines()[-1]
    ran = bench.run("proof", bad, bench.standard("a.standard"), bench.standard("b.standard", limit=2))
    assert ran.out.splitlines()[-1].endswith("no doubts, 1 case holds, 1 case fails")


def test_errors_come_in_reading_order_and_no_case_is_tried(bench: Any) -> None:
    path = bench.standard("a.standard", limit=2)
    path.write_text(
        path.read_text().replace("until 2 hits", "until 2 whoops").replace("start on go", "start on og")
    )
    document = bench.run("proof", "--format", "json", path).document
    lines = [one["place"]["line"] for one in document["diagnostics"]]
    assert len(lines) == 2 and lines == sorted(lines) and document["standards"] == []
    assert not any(one["code"].startswith("C") for one in document["diagnostics"])


def test_folders_and_standard_input(bench: Any) -> None:
    text = bench.standard("rules/a.standard").read_bytes()
    bench.standard("rules/inner/b.standard")
    bench.feed(text)
    ran = bench.run("proof", "rules", "rules/a.standard", "-")
    assert (ran.code, ran.out) == (0, f"{FACTS * 3}no errors, no doubts, 3 cases hold\n")


def test_what_cannot_be_read(bench: Any, codes: Codes) -> None:
    latin = bench.write("latin.standard", b'standard a "A"\n    edition "\xe9"\n')
    binary = bench.write("binary.standard", b"\0\1")
    ran = bench.run("proof", "--format", "json", "gone.standard", latin, binary)
    assert codes(ran) == ["F501", "F505", "F506"] and ran.code == 2
    place = ran.document["diagnostics"][1]["place"]
    assert (place["line"], place["column"]) == (2, 14)


def test_a_doubt_is_an_objection_and_shown_with_its_log(bench: Any) -> None:
    ran = bench.run("proof", doubted(bench))
    assert ran.code == 1
    assert (
        """\
d.standard, line 16, column 5: doubt D104
          step back
          =========
  found   `swim.back` may wait for ever
  shown   log swim
              0:00 go
              0:00 touch
  mend    give it or what is around it a limit such as `within 5 min`; or, if it
          is meant, write `accept D104 "why"` in its block
"""
        in ran.out
    )
    assert "    swim  0:00 or more, and may go on for ever\n" in ran.out
    assert ran.out.endswith("\nno errors, 3 doubts, no cases\n")


def test_an_accepted_doubt_is_listed_with_its_reason_and_is_no_objection(bench: Any) -> None:
    path = doubted(bench, 'accept D104 "a calm bay"\n    accept D108 "not here"')
    path.write_text(path.read_text().replace('    unused "A mark"\n', ""))
    ran = bench.run("proof", path)
    assert ran.code == 0 and "doubt D104" not in ran.out and "advice A102" in ran.out
    assert (
        """\
  accepted D104: "a calm bay"
    line 14: `swim.there` may wait for ever
    line 16: `swim.back` may wait for ever

no errors, no doubts, 2 accepted, 1 advice, no cases
"""
        in ran.out
    )


def test_an_acceptance_elsewhere_answers_nothing(bench: Any) -> None:
    path = doubted(bench)
    path.write_text(path.read_text().replace("    step back\n", '    step back\n        accept D104 "calm"\n'))
    ran = bench.run("proof", "--format", "json", path)
    found = {(one["code"], one["place"]["line"]): one["accepted"] for one in ran.document["diagnostics"]}
    assert ran.code == 1
    assert found == {("D108", 8): None, ("D104", 14): None, ("D104", 16): "calm"}


def test_what_nobody_can_pass_is_an_error_that_nobody_can_accept(bench: Any) -> None:
    path = doubted(bench, 'within 2 min\n    not before 3 min\n    accept P101 "tough"')
    ran = bench.run("proof", path)
    assert ran.code == 2 and "error P101\n" in ran.out and "  found   no log passes `swim`" in ran.out
    assert "    swim  no attempt ends GO\n" in ran.out
    events = bench.run("proof", "--format", "json", path).document["standards"][0]["events"]
    assert events[0]["go"] is None


def test_the_document_is_that_of_its_schema(bench: Any, valid: Callable[[str, Any], None]) -> None:
    ran = bench.run("proof", "--format", "json", doubted(bench), bench.standard("a.standard"), "gone.standard")
    document = ran.document
    valid("proof", document)
    assert ran.code == 2 and [one["file"] for one in document["standards"]] == ["d.standard", "a.standard"]
    swim, rope = (one["events"][0] for one in document["standards"])
    assert swim["go"] == {"exact": True, "shortest": "0:00.000000", "longest": None}
    assert rope["go"] == {"exact": True, "shortest": "0:00.000000", "longest": "1:30.000000"}
    assert rope["watched"] == [{"path": "rope.throws", "marks": 2}]
    log = next(one["log"] for one in document["diagnostics"] if one["code"] == "D104")
    assert log == ["log swim", "    0:00 go"]


def test_sarif(bench: Any) -> None:
    ran = bench.run("proof", "--format", "sarif", doubted(bench, 'accept D104 "calm"'), "gone.standard")
    (run,) = ran.document["runs"]
    assert ran.code == 2 and ran.document["version"] == "2.1.0"
    assert [(one["ruleId"], len(one.get("suppressions", ()))) for one in run["results"]] == [
        ("D108", 0),
        ("D104", 1),
        ("D104", 1),
        ("F501", 0),
    ]
    assert run["properties"]["standards"][0]["standard"]["name"] == "doubted"


@pytest.mark.parametrize("verb", ["grade", "tidy", "brief"])
def test_no_other_verb_writes_sarif(bench: Any, verb: str) -> None:
    ran = bench.run(verb, "x", "--format", "sarif")
    assert ran.code == 2 and "argument --format: invalid choice: 'sarif' (choose from" in ran.err


@pytest.mark.parametrize("code", sorted(CODES))
def test_every_code_is_explained(bench: Any, code: str) -> None:
    ran = bench.run("proof", "--about", code.lower())
    assert ran.code == 0 and ran.out.startswith(f"{code}, {CODES[code].severity}: {CODES[code].title}\n\n")
    about, *examples = ran.out.split("\n\nbad, found where")
    assert max(len(line) for line in about.splitlines()[1:]) <= 80
    assert len(examples) == bool(samples(code))


def test_a_doubt_is_explained_with_a_bad_and_a_good_standard(bench: Any) -> None:
    out = bench.run("proof", "--about", "D119").out
    assert "\n\nbad, found where `# <- D119` stands:\n\n    standard swim " in out
    assert "        within 20 min  # <- D119\n" in out and "\n\ngood:\n\n    standard swim " in out


def test_a_code_that_does_not_exist(bench: Any) -> None:
    ran = bench.run("proof", "--about", "C30")
    assert ran.code == 2 and "no finding has the code `C30`: write `C" in ran.err


def test_nothing_to_read_is_a_mistake_in_the_command(bench: Any) -> None:
    assert "name a standard, a folder of them, or - for standard input" in bench.run("proof").err
    assert bench.run("proof", "--about", "C301", "a.standard").code == 2


def test_an_event_too_large_to_be_looked_through_is_said_to_be(
    bench: Any, monkeypatch: pytest.MonkeyPatch, valid: Callable[[str, Any], None]
) -> None:
    monkeypatch.setattr("standfast.proofing.survey.MOST_POSITIONS", 0)
    path = bench.standard("a.standard")
    ran = bench.run("proof", path)
    assert "    rope  not known: there is too much to look through\n" in ran.out
    assert "  neither proved nor disproved: rope\n" in ran.out
    assert ran.code == 1
    document = bench.run("proof", "--format", "json", path).document
    valid("proof", document)
    (one,) = document["standards"]
    assert one["undecided"] == ["rope"]
    assert one["events"] == [{"label": "rope", "decided": False, "go": None, "watched": []}]
