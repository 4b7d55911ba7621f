"""Grading from the command line: which standard, which logs, what is printed, how it ends.

`bench` is the folder and the command line of `conftest.py`.
"""

import os
from collections.abc import Callable
from typing import Any

import pytest

Codes = Callable[[Any], list[str]]


def test_a_go_ends_with_nothing_to_object_to(bench: Any) -> None:
    bench.standard("a.standard")
    ran = bench.run("grade", "--standard", "a.standard", bench.log("x.jsonl"))
    assert ran.code == 0 and ran.err == ""
    assert ran.out.startswith("GO  candidate C-1, session S-1\nstandard rope_throw, edition 1")


def test_another_verdict_is_an_objection(bench: Any) -> None:
    bench.standard("a.standard", limit=3)
    ran = bench.run("grade", "--standard", "a.standard", bench.log("x.jsonl"))
    assert ran.code == 1 and ran.err == ""
    assert '  fail: rope.throws.within_throw "too many throws"\n      entry 6 (line 7) at 0:14;' in ran.out


def test_a_close_call_is_an_objection_to_a_go(bench: Any, valid: Callable[[str, object], None]) -> None:
    bench.standard("a.standard")
    log = bench.log("x.jsonl")
    ran = bench.run("grade", "--standard", "a.standard", "--times-within", "37 s", log)
    assert ran.code == 0 and "\nstands however each time is wrong by up to 37 s\n" in ran.out
    ran = bench.run("grade", "--standard", "a.standard", "--times-within", "37 s 501 ms", log, "--format", "json")
    assert ran.code == 1 and ran.err == ""
    valid("grade", ran.document)
    doubt = ran.document["verdicts"][0]["doubt"]
    assert doubt["times_within"] == {"amount": "37.501", "unit": "s"} and doubt["firmness"] == "close call"
    assert [(other["outcome"], other["least"]["amount"]) for other in doubt["others"]] == [("NO-GO", "37.500001")]
    assert [shift["entry"] for shift in doubt["others"][0]["shifts"]] == [1, 7]


def test_the_call_goes_before_the_standard(bench: Any) -> None:
    path = bench.standard("a.standard")
    text = path.read_text("utf-8").replace("\n\nconditions", "\n    times within 37.501 s\n\nconditions")
    bench.write("a.standard", text)
    log = bench.log("x.jsonl")
    ran = bench.run("grade", "--standard", "a.standard", log)
    assert ran.code == 1 and "\nclose call: each time may be wrong by up to 37.501 s\n" in ran.out
    ran = bench.run("grade", "--standard", "a.standard", "--times-within", "1 s", log)
    assert ran.code == 0 and "\nstands however each time is wrong by up to 1 s\n" in ran.out


@pytest.mark.parametrize("doubt", ["0.3", "0 s", "-1 s", "3 m", "0.5 ms 1 s", "0.0001 ms", "soon"])
def test_a_doubt_of_times_is_a_time(bench: Any, doubt: str) -> None:
    bench.standard("a.standard")
    ran = bench.run("grade", "--standard", "a.standard", f"--times-within={doubt}", bench.log("x.jsonl"))
    assert ran.code == 2 and ran.out == ""
    assert "--times-within is a time above nought, in whole microseconds" in ran.said


def test_an_error_is_reported_and_the_other_logs_are_graded(bench: Any, codes: Codes) -> None:
    bench.standard("a.standard")
    bad = bench.write("bad.jsonl", "not json\n")
    good = bench.log("good.jsonl")
    ran = bench.run("grade", "--standard", "a.standard", bad, good)
    assert ran.code == 2
    assert ran.out.startswith("GO") and ran.err.startswith("bad.jsonl, line 1, column 1: error L")
    both = bench.run("grade", "--standard", "a.standard", "--format", "json", bad, good)
    assert both.code == 2 and both.err == ""
    assert len(codes(both)) == 1 and [v["outcome"] for v in both.document["verdicts"]] == ["GO"]


def test_several_logs_close_with_a_table(bench: Any) -> None:
    bench.standard("a.standard", limit=3)
    logs = [bench.log("b.jsonl", candidate="C-2"), bench.log("a.jsonl")]
    ran = bench.run("grade", "--standard", "a.standard", *logs)
    assert ran.out.endswith(
        "\n\nverdict  candidate  session  deciding clause                             log\n"
        'NO-GO    C-2        S-1      rope.throws.within_throw "too many throws"  b.jsonl\n'
        'NO-GO    C-1        S-1      rope.throws.within_throw "too many throws"  a.jsonl\n'
        "2 NO-GO\n"
    )


def test_logs_that_are_not_graded_stand_in_the_table(bench: Any, valid: Callable[[str, object], None]) -> None:
    bench.standard("a.standard")
    bad = bench.write("bad.jsonl", "not json\n")
    logs = [bad, bench.log("good.jsonl"), "gone.jsonl", bench.log("other.jsonl", standard="other")]
    ran = bench.run("grade", "--standard", "a.standard", *logs)
    assert ran.out.endswith(
        "\n\nverdict     candidate  session  deciding clause  log\n"
        "not graded  -          -        -                bad.jsonl\n"
        "GO          C-1        S-1      -                good.jsonl\n"
        "not graded  -          -        -                gone.jsonl\n"
        "not graded  -          -        -                other.jsonl\n"
        "1 GO, 3 not graded\n"
    )
    document = bench.run("grade", "--format", "json", "--standard", "a.standard", *logs).document
    valid("grade", document)
    assert document["not_graded"] == ["bad.jsonl", "gone.jsonl", "other.jsonl"]
    assert document["verdicts"][0]["log"] == "good.jsonl"
    assert "not graded" not in bench.run("grade", "--standard", "a.standard", bad).out


def test_a_candidate_graded_twice_in_a_session_is_a_doubt(bench: Any, codes: Codes) -> None:
    bench.standard("a.standard")
    logs = [bench.log("a.jsonl"), bench.log("b.jsonl", candidate="C-2"), bench.log("c.jsonl")]
    ran = bench.run("grade", "--standard", "a.standard", *logs)
    assert ran.code == 1 and ran.out.count("GO  candidate") == 3
    assert ran.err.startswith("c.jsonl, line 1, column 1: doubt F522\n")
    assert "found `C-1` in session `S-1` had a verdict already, from `a.jsonl`" in ran.said
    assert "accept" not in ran.said
    other = bench.log("d.jsonl", session="S-2")
    assert codes(bench.run("grade", "--format=json", "--standard", "a.standard", logs[0], other)) == []


def test_many_candidates_graded_twice_are_one_doubt(bench: Any, codes: Codes) -> None:
    bench.standard("a.standard")
    names = [f"C-{number}" for number in range(7)]
    data = bench.log("a.jsonl", candidates=names).read_text().replace('"candidate": "C-1", ', "")
    data = data.replace('"mark"', '"candidate": "all", "mark"')
    logs = [bench.write("a.jsonl", data), bench.write("b.jsonl", data)]
    ran = bench.run("grade", "--format=json", "--standard", "a.standard", *logs)
    assert codes(ran) == ["F522"] and len(ran.document["verdicts"]) == 14
    who = "`C-0`, `C-1`, `C-2`, `C-3`, `C-4` and 2 more in session `S-1` had a verdict already"
    assert ran.document["diagnostics"][0]["message"].startswith(who)


def test_files_of_the_other_kind_are_said_to_be_that(bench: Any, codes: Codes) -> None:
    rules, log = bench.standard("a.standard"), bench.log("x.jsonl")
    ran = bench.run("grade", "--format=json", rules)
    assert codes(ran) == ["F519"] and ran.code == 2
    (found,) = ran.document["diagnostics"]
    assert found["message"] == "`a.standard` is a standard, not a session log"
    assert "--standard" in found["help"]
    for verb in ("proof", "tidy", "rehearse"):
        told = bench.run(verb, log)
        assert told.code == 2 and "F519 found `x.jsonl` is a session log, not a standard" in told.said
        assert "mend grade it with `standfast grade x.jsonl`" in told.said
    assert codes(bench.run("grade", "--format=json", "--standard", log, log))[0] == "F519"
    assert codes(bench.run("grade", "--format=json", "gone.standard")) == ["F501"]


@pytest.mark.parametrize("arguments", [("grade", ""), ("proof", ""), ("grade", "--standard", "", "x.jsonl")])
def test_an_empty_name_is_a_mistake(bench: Any, arguments: tuple[str, ...]) -> None:
    ran = bench.run(*arguments)
    assert ran.code == 2 and ran.err.endswith("error: a name is empty; name a file or a folder\n")


def test_a_folder_is_searched_sorted_and_each_log_graded_once(bench: Any) -> None:
    bench.standard("a.standard")
    for name in ("logs/b.jsonl", "logs/a/c.jsonl", "logs/a.jsonl"):
        bench.log(name, candidate=name.replace("/", "-"))
    bench.write("logs/readme.txt", "no log")
    os.symlink("b.jsonl", "logs/z.jsonl")
    ran = bench.run(
        "grade", "--format", "json", "--standard", "a.standard", "logs/b.jsonl", "logs", "./logs/a.jsonl"
    )
    found = [verdict["candidate"] for verdict in ran.document["verdicts"]]
    assert found == ["logs-b.jsonl", "logs-a-c.jsonl", "logs-a.jsonl"]


def test_a_log_on_standard_input(bench: Any) -> None:
    bench.standard("a.standard")
    data = bench.log("x.jsonl").read_bytes()
    bench.feed(data)
    assert bench.run("grade", "--standard", "a.standard", "-").code == 0
    bench.feed(b"")
    ran = bench.run("grade", "--standard", "a.standard", "-")
    assert ran.code == 2 and ran.err.startswith("standard input, line 1, column 1: error L")


def test_a_standard_does_not_come_from_standard_input(bench: Any) -> None:
    ran = bench.run("grade", "--standard", "-", "-")
    assert ran.code == 2 and "standard input can only be a log" in ran.err


def test_the_document_is_byte_for_byte_the_same(bench: Any) -> None:
    bench.standard("a.standard")
    log = bench.log("x.jsonl", candidate="Å")
    first, second = (bench.run("grade", "--format", "json", "--standard", "a.standard", log) for _ in range(2))
    assert first.out == second.out and first.document["verdicts"][0]["candidate"] == "Å"


# --- logs that cannot be opened -----------------------------------------------------------------------------


def test_what_cannot_be_opened(bench: Any, codes: Codes) -> None:
    bench.standard("a.standard")
    os.mkdir("empty")
    os.symlink("loop", "loop")
    good = bench.log("good.jsonl")
    ran = bench.run("grade", "--format", "json", "--standard", "a.standard", "gone", "empty", "loop", good)
    assert codes(ran) == ["F501", "F503", "F502"] and ran.code == 2
    assert [one["message"] for one in ran.document["diagnostics"]][:2] == [
        "`gone` is not there",
        "no log in the folder `empty`, nor in those inside it",
    ]
    assert len(ran.document["verdicts"]) == 1


def test_a_binary_file_is_one_finding(bench: Any, codes: Codes) -> None:
    bench.standard("a.standard")
    log = bench.write("x.jsonl", '{"session":"S-1"}\n'.encode("utf-16"))
    assert codes(bench.run("grade", "--format", "json", "--standard", "a.standard", log)) == ["F506"]


def test_a_folder_that_may_not_be_opened(bench: Any, codes: Codes, monkeypatch: pytest.MonkeyPatch) -> None:
    bench.standard("a.standard")
    bench.log("logs/open.jsonl")
    bench.log("logs/closed/x.jsonl")
    listed = os.scandir

    def scandir(path: str) -> Any:
        if os.path.basename(path) == "closed":
            raise PermissionError(13, "Permission denied", path)
        return listed(path)

    monkeypatch.setattr(os, "scandir", scandir)
    ran = bench.run("grade", "--format", "json", "--standard", "a.standard", "logs")
    assert codes(ran) == ["F502"] and len(ran.document["verdicts"]) == 1
    assert ran.document["diagnostics"][0]["message"] == "`logs/closed` cannot be read: permission denied"


# --- which standard, which edition --------------------------------------------------------------------------


def graded_by(bench: Any, *places: str, **header: object) -> Any:
    log = bench.log("x.jsonl", **header)
    return bench.run("grade", "--format", "json", *(f"--standard={place}" for place in places), log)


def editions(bench: Any) -> None:
    bench.standard("rules/one.standard", edition="1", date="2024-03-01")
    bench.standard("rules/two.standard", edition="2", date="2026-03-01")


@pytest.mark.parametrize(
    ("header", "edition"),
    [
        ({"edition": "1"}, "1"),
        ({"edition": "2"}, "2"),
        ({"started": "2026-02-28T23:59:59Z"}, "1"),
        ({"started": "2026-03-01T00:00:00Z"}, "2"),
        ({"started": "2026-03-01T00:30:00+02:00"}, "2"),  # the day as written, though not yet that day in UTC
        ({"edition": "1", "started": "2027-01-01T00:00:00Z"}, "1"),
    ],
)
def test_the_edition_is_the_named_or_the_latest_in_force(bench: Any, header: dict[str, str], edition: str) -> None:
    editions(bench)
    ran = graded_by(bench, "rules", **header)
    assert ran.code == 0 and ran.document["verdicts"][0]["standard"]["edition"] == edition


@pytest.mark.parametrize(
    ("header", "code", "words"),
    [
        ({}, "F511", "the log does not say which edition of `rope_throw` it was kept under"),
        ({"edition": "3"}, "F508", "kept under edition `3` of `rope_throw`; found `1`, `2` in `rules`"),
        (
            {"edition": "2", "started": "2026-02-28T10:00:00Z"},
            "F509",
            "in force from 2026-03-01, and started on 2026",
        ),
        ({"started": "2023-01-01T10:00:00Z"}, "F510", "no edition of `rope_throw` was in force on 2023-01-01"),
        ({"standard": "rope_thro"}, "F507", "no standard of that name is in `rules`"),
    ],
)
def test_a_log_whose_standard_is_not_there(
    bench: Any, codes: Codes, header: dict[str, str], code: str, words: str
) -> None:
    editions(bench)
    ran = graded_by(bench, "rules", **header)
    assert codes(ran) == [code] and ran.code == 2 and ran.document["verdicts"] == []
    diagnostic = ran.document["diagnostics"][0]
    assert words in diagnostic["message"] and diagnostic["place"]["line"] == 1


def test_a_near_name_is_offered(bench: Any) -> None:
    editions(bench)
    ran = graded_by(bench, "rules", standard="rope_thro")
    assert "if `rope_throw` is meant" in ran.document["diagnostics"][0]["help"]


def test_one_edition_needs_no_date(bench: Any) -> None:
    bench.standard("a.standard")
    assert graded_by(bench, "a.standard").code == 0


def test_two_files_of_one_edition_are_an_error(bench: Any, codes: Codes) -> None:
    bench.standard("rules/a.standard")
    bench.standard("rules/b.standard")
    assert codes(graded_by(bench, "rules")) == ["F512"]
    assert graded_by(bench, "rules/a.standard").code == 0


def test_two_editions_in_force_from_one_day_are_an_error(bench: Any, codes: Codes) -> None:
    bench.standard("rules/a.standard")
    bench.standard("rules/b.standard", edition="2")
    assert codes(graded_by(bench, "rules", started="2025-01-01T00:00:00Z")) == ["F511"]


def test_a_given_file_of_another_edition_or_name_is_an_error(bench: Any, codes: Codes) -> None:
    bench.standard("a.standard", edition="2")
    assert codes(graded_by(bench, "a.standard", edition="1")) == ["F508"]
    bench.standard("a.standard", name="line_throw")
    assert codes(graded_by(bench, "a.standard", edition="1")) == ["F507"]


def test_without_a_place_the_shipped_standards_are_searched(bench: Any) -> None:
    ran = graded_by(bench, standard="no_such_standard")
    assert "no standard of that name is in the standards that come with standfast" in ran.out


# --- standards that cannot be used --------------------------------------------------------------------------


def broken(path: Any) -> None:
    path.write_text(path.read_text().replace("until 2 hits", "until 2 misses"))


def test_a_broken_file_that_can_only_be_the_one_is_shown_once(bench: Any, codes: Codes) -> None:
    broken(bench.standard("rules/a.standard"))
    bench.standard("rules/b.standard", edition="2")
    logs = [bench.log(f"{number}.jsonl", edition=edition) for number, edition in enumerate("112")]
    ran = bench.run("grade", "--format", "json", "--standard", "rules", *logs)
    *errors, first, second = codes(ran)
    assert first == second == "F513" and errors and not any(code.startswith("F") for code in errors[:-1])
    assert [verdict["standard"]["edition"] for verdict in ran.document["verdicts"]] == ["2"]


def test_broken_drafts_beside_a_standard_are_named_and_not_shown(bench: Any, codes: Codes) -> None:
    bench.standard("rules/a.standard")
    broken(bench.standard("rules/b.standard", edition="2"))
    broken(bench.standard("rules/my draft.standard", edition="3"))
    ran = graded_by(bench, "rules")
    assert codes(ran) == ["F513"] and ran.code == 2
    (found,) = ran.document["diagnostics"]
    assert found["message"].endswith("has errors: `rules/b.standard`, `rules/my draft.standard`")
    assert "`standfast proof rules/b.standard 'rules/my draft.standard'`" in found["help"]
    assert graded_by(bench, "rules", edition="1").code == 0


def test_files_without_a_name_are_named_in_one_line(bench: Any, codes: Codes) -> None:
    bench.standard("rules/a.standard")
    bench.write("rules/b.standard", "hello\n")
    bench.write("rules/c.standard", "standrad x\n")
    ran = graded_by(bench, "rules")
    assert codes(ran) == ["F514"] and len(ran.document["verdicts"]) == 1
    told = ran.document["diagnostics"][0]["message"]
    assert told == "no name of a standard at the beginning of `rules/b.standard`, `rules/c.standard`"


def test_a_broken_file_no_log_needs_is_left_alone(bench: Any) -> None:
    bench.standard("rules/a.standard")
    path = bench.standard("rules/b.standard", name="line_throw")
    path.write_text(path.read_text().replace("until 2 hits", "until 2 misses"))
    assert graded_by(bench, "rules").code == 0


def test_a_file_of_a_folder_without_a_name_is_reported_and_a_named_file_is_read_at_once(
    bench: Any, codes: Codes
) -> None:
    bench.standard("rules/a.standard")
    bench.write("rules/b.standard", "hello\n")
    ran = graded_by(bench, "rules")
    assert codes(ran) == ["F514"] and ran.code == 2 and len(ran.document["verdicts"]) == 1
    named = graded_by(bench, "rules/a.standard", "rules/b.standard")
    assert named.code == 2 and all(code.startswith("R") for code in codes(named))


@pytest.mark.parametrize("first", ["standard rope-throw", "standrad rope_throw", "standard Rope_throw", ""])
def test_a_name_that_cannot_be_told_may_be_the_wanted_one(bench: Any, codes: Codes, first: str) -> None:
    path = bench.standard("rules/a.standard")
    path.write_text(path.read_text().replace("standard rope_throw", first))
    assert codes(graded_by(bench, "rules")) == ["F514", "F507"]


def test_comments_and_blank_lines_before_the_name_do_not_hide_it(bench: Any) -> None:
    path = bench.standard("rules/a.standard")
    path.write_text("\n# a comment\n\n" + path.read_text())
    assert graded_by(bench, "rules").code == 0


@pytest.mark.parametrize(
    ("data", "code"), [(b"standard caf\xe9\n", "F505"), (b"PK\x03\x04\x00\x00", "F506")], ids=["latin", "binary"]
)
def test_a_standard_that_is_no_text(bench: Any, codes: Codes, data: bytes, code: str) -> None:
    bench.write("rules/a.standard", data)
    bench.standard("rules/b.standard")
    ran = graded_by(bench, "rules")
    assert codes(ran) == [code] and len(ran.document["verdicts"]) == 1


def test_a_folder_without_standards(bench: Any, codes: Codes) -> None:
    os.mkdir("empty")
    assert codes(graded_by(bench, "empty")) == ["F504", "F507"]


def test_what_a_header_asks_for_in_vain_is_pointed_at(bench: Any) -> None:
    editions(bench)
    for header, code, value in (
        ({"standard": "other_one"}, "F507", "other_one"),
        ({"edition": "77"}, "F508", "77"),
        ({"started": "2000-01-01T09:00:00Z"}, "F510", "2000-01-01T09:00:00Z"),
    ):
        ran = graded_by(bench, "rules", **header)
        (one,) = ran.document["diagnostics"]
        text = (bench.folder / "x.jsonl").read_text(encoding="utf-8").splitlines()[0]
        assert (one["code"], one["place"]["column"]) == (code, text.index(f'"{value}"') + 2)
