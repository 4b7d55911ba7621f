"""Records on the command line: kept, listed, ruled on, graded again. `bench` is the command line."""

import gzip
import json
import os
from collections.abc import Callable
from pathlib import Path
from typing import Any
from zipfile import ZipFile

import pytest
from attrs import evolve

import standfast
from standfast.codes.files import MISSING
from standfast.command import recheck
from standfast.diagnostic import Diagnostic
from standfast.log.times import Timestamp, read_time
from standfast.record.entry import VerdictRecord, digest_of, digest_of_document, line_of, record_of

Codes = Callable[[Any], list[str]]
Valid = Callable[[str, object], None]
REGISTER = Path("kept/register.records")
RULED = (
    "--outcome",
    "GO",
    "--by",
    "Examiner E-2",
    "--reason",
    "the hail was heard",
    "--at",
    "2026-04-11T12:00:00Z",
)


@pytest.fixture
def kept(bench: Any) -> Any:
    """Two verdicts, GO and NO-GO, in `kept`."""
    text = bench.standard("rules/a.standard").read_text()
    bench.write("rules/a.standard", f"# as issued\n{text}")
    bench.log("logs/a.jsonl")
    bench.log("logs/b.jsonl", candidate="C-2", conditions={"lookouts": 1})
    ran = bench.run("grade", "--keep", "kept", "--standard", "rules", "logs")
    assert (ran.code, ran.err) == (1, "")
    return bench


def lines() -> list[Any]:
    return [json.loads(line) for line in REGISTER.read_bytes().splitlines()]


def test_a_verdict_is_shown_with_its_record(bench: Any, valid: Valid) -> None:
    bench.standard("a.standard")
    log = bench.log("x.jsonl")
    ran = bench.run("grade", "--keep", "kept", "--standard", "a.standard", log)
    (record,) = lines()
    assert (ran.code, ran.err) == (0, "")
    assert ran.out.endswith(f"\nrecord 1 of kept, digest {record['digest'][:12]}\n")
    valid("record", record)
    document = bench.run("grade", "--format=json", "--keep", "kept", "--standard", "a.standard", log).document
    valid("grade", document)
    assert document["records"] == [{"number": 2, "digest": lines()[1]["digest"]}]
    assert bench.run("grade", "--format=json", "--standard", "a.standard", log).document["records"] == []


def test_a_record_holds_the_digests_and_where_things_lie(kept: Any, valid: Valid) -> None:
    first, second = lines()
    rules, log = Path("rules/a.standard").read_bytes(), Path("logs/b.jsonl").read_bytes()
    assert second["standard"]["bytes_digest"] == digest_of(rules)
    assert second["standard"]["digest"] == second["verdict"]["standard"]["digest"] != digest_of(rules)
    assert second["standard"]["file"] == "../rules/a.standard"
    assert second["log"] == {"digest": digest_of(log), "file": "../logs/b.jsonl"}
    assert (first["before"], second["before"]) == (None, first["digest"])
    assert (second["session"], second["candidate"], second["outcome"]) == ("S-1", "C-2", "VOID")
    assert Path("kept/copies", f"{digest_of(rules)}.rules").read_bytes() == rules
    assert Path("kept/copies", f"{digest_of(log)}.log").read_bytes() == log
    valid("record", second)


def test_the_folder_of_records_is_not_taken_for_standards_and_logs(kept: Any) -> None:
    again = kept.run("grade", "--keep", "kept", "--standard", ".", ".")
    assert again.code == 1 and again.out.count("candidate C-") == 2
    assert again.err.count(": doubt K608\n") == 2 == again.err.count("found")


def test_a_verdict_beside_one_that_the_register_has_is_a_doubt(kept: Any, codes: Codes) -> None:
    call = ("grade", "--standard", "rules", "logs", "--keep")
    again = kept.run(*call, "kept")
    assert again.code == 1 and "logs/a.jsonl, line 1, column 1: doubt K608" in again.said
    assert "found the register in `kept` has a verdict already in session `S-1`: `C-1` (record 1)" in again.said
    assert kept.run("ruling", "kept", "2", *RULED).code == 0
    third = kept.run(*call, "kept", "--format=json")
    assert codes(third) == ["K608", "K608"]
    first, second = (one["message"] for one in third.document["diagnostics"])
    assert first.endswith("`C-1` (record 3)") and second.endswith("`C-2` (record 2, ruled on in record 5)")
    assert len(lines()) == 7 and kept.run("recheck", "kept").code == 0
    assert codes(kept.run(*call, "elsewhere", "--format=json")) == []


def test_a_verdict_that_was_ruled_on_is_named_before_those_that_were_not(bench: Any) -> None:
    bench.standard("a.standard")
    names = [f"C-{number}" for number in range(8)]
    text = bench.log("x.jsonl", candidates=names).read_text().replace('"candidate": "C-1", ', "")
    bench.write("x.jsonl", text.replace('"mark"', '"candidate": "all", "mark"'))
    call = ("grade", "--keep", "kept", "--standard", "a.standard", "x.jsonl")
    assert bench.run(*call).code == 0 and bench.run("ruling", "kept", "8", *RULED).code == 0
    said = bench.run(*call).said
    assert "`S-1`: `C-7` (record 8, ruled on in record 9), `C-0` (record 1), " in said and "and 3 more" in said


def test_everything_fits(kept: Any, valid: Valid) -> None:
    ran = kept.run("recheck", "kept")
    assert (ran.code, ran.err) == (0, "")
    assert ran.out == (
        "record  verdict  graded again  candidate  session  standard       log\n"
        "1       GO       fits          C-1        S-1      rope_throw, 1  ../logs/a.jsonl\n"
        "2       VOID     fits          C-2        S-1      rope_throw, 1  ../logs/b.jsonl\n"
        f"\n2 verdicts, no rulings; digest of the last record {lines()[1]['digest']}\n"
    )
    document = kept.run("recheck", "kept", "--format", "json").document
    valid("recheck", document)
    assert [one["state"] for one in document["verdicts"]] == ["fits", "fits"]
    assert document["last_digest"] == lines()[1]["digest"] and document["diagnostics"] == []


def test_the_standard_and_the_log_may_be_elsewhere_by_then(kept: Any) -> None:
    Path("rules/a.standard").unlink()
    Path("logs").rename("away")
    ran = kept.run("recheck", "kept")
    assert ran.code == 0 and ran.err == ""
    assert "\n3 files not found where graded: the copies alone were checked\n" in ran.out
    assert kept.run("recheck", "kept", "--format=json").document["missing_files"] == [
        "../rules/a.standard",
        "../logs/a.jsonl",
        "../logs/b.jsonl",
    ]


def test_a_changed_log_is_named_with_its_line(kept: Any, codes: Codes) -> None:
    log = Path("logs/a.jsonl")
    log.write_text(log.read_text().replace('"0:12.5"', '"0:12.6"'))
    ran = kept.run("recheck", "kept")
    assert ran.code == 1
    assert ran.err.startswith("logs/a.jsonl, line 6, column 14: doubt K623\n")
    assert "is no longer what was graded for record 1" in ran.said
    assert ', line 6, column 14: what was graded {"at": "0:12.5"' in ran.said
    assert "1 GO fits" in ran.said
    assert codes(kept.run("recheck", "kept", "--format=json")) == ["K623"]


def test_a_changed_copy_is_named_with_its_line_and_the_file_graded(kept: Any) -> None:
    (copy,) = Path("kept/copies").glob("*.rules")
    copy.write_text(copy.read_text().replace("within 4", "within 3"))
    ran = kept.run("recheck", "kept")
    assert ran.code == 1 and ran.err.count("doubt K622") == 1
    assert ran.err.startswith(f"{copy}, line 19, column 16: doubt K622\n")
    assert "2 VOID fits" in ran.said
    Path("rules/a.standard").unlink()
    ran = kept.run("recheck", "kept")
    assert ran.code == 1 and ran.err.count("doubt K622") == 1 and ran.err.count("doubt K632") == 2
    assert "1 GO not graded" in ran.said and "the standard is not there as it was" in ran.said
    copy.unlink()
    ran = kept.run("recheck", "kept")
    assert ran.code == 1 and "cannot be read: no such file or directory" in ran.said


def test_a_changed_record_is_named_with_its_line(kept: Any, codes: Codes) -> None:
    REGISTER.write_bytes(REGISTER.read_bytes().replace(b'"outcome":"VOID"', b'"outcome":"GONE"', 1))
    ran = kept.run("recheck", "kept")
    assert ran.code == 1 and "kept/register.records, line 2, column 1: doubt K611" in ran.err
    assert "record 2 cannot be read as it was written: it does not say the same as its verdict" in ran.said
    REGISTER.write_bytes(REGISTER.read_bytes().replace(b'"outcome":"GONE"', b'"outcome":"VOID"', 1))
    REGISTER.write_bytes(REGISTER.read_bytes().replace(b'"program":"', b'"program":"1', 1))
    ran = kept.run("recheck", "kept", "--format=json")
    assert codes(ran) == ["K612"] and ran.document["diagnostics"][0]["place"]["line"] == 1
    assert [one["state"] for one in ran.document["verdicts"]] == ["damaged", "fits"]
    assert kept.run("register", "kept").code == 1


def test_a_verdict_that_comes_out_otherwise_is_told_place_by_place(
    kept: Any, codes: Codes, valid: Valid, monkeypatch: pytest.MonkeyPatch
) -> None:
    first, _ = REGISTER.read_bytes().splitlines()
    held = json.loads(first)
    held["verdict"]["points"] = 7
    forged, _ = record_of(json.dumps(held, ensure_ascii=False, separators=(",", ":")).encode())
    assert isinstance(forged, VerdictRecord)
    REGISTER.write_bytes(line_of(evolve(forged, verdict_digest=digest_of_document(held["verdict"]))))
    ran = kept.run("recheck", "kept")
    assert ran.code == 1 and "kept/register.records, line 1, column" in ran.err
    assert "graded again, `points` was `7` and is `null`" in ran.said and "report this" in ran.said
    assert "1 GO differs C-1" in ran.said
    document = kept.run("recheck", "kept", "--format=json").document
    valid("recheck", document)
    assert document["verdicts"][0]["changes"] == [{"path": "points", "then": "7", "now": "null"}]
    monkeypatch.setattr(recheck, "__version__", "9.9")
    assert "the record was made by standfast 0.1.0, and this is 9.9" in kept.run("recheck", "kept").said
    held["verdict_digest"] = "ab" * 32
    del held["digest"]
    body = json.dumps(held, ensure_ascii=False, separators=(",", ":"))
    REGISTER.write_text(f'{body[:-1]},"digest":"{digest_of(body)}"}}\n')
    assert codes(kept.run("recheck", "kept", "--format=json")) == ["K631", "K615"]


def test_a_file_whose_name_is_no_text_is_kept_and_found_again(bench: Any) -> None:
    bench.standard("a.standard")
    log = Path(os.fsdecode(b"caf\xe9.jsonl"))
    bench.log("x.jsonl").rename(log)
    assert bench.run("grade", "--keep", "kept", "--standard", "a.standard", log).code == 0
    ran = bench.run("recheck", "kept")
    assert (ran.code, ran.err) == (0, "") and "../caf\\udce9.jsonl" in ran.out and "not found" not in ran.out
    log.write_bytes(log.read_bytes().replace(b"0:14", b"0:13"))
    assert bench.run("recheck", "kept").code == 1


def test_a_name_that_no_file_can_have_is_a_file_that_is_not_there(kept: Any, codes: Codes) -> None:
    first, _ = record_of(REGISTER.read_bytes().splitlines()[0])
    assert isinstance(first, VerdictRecord)
    log = evolve(first.log, file="a\0b")
    standard = evolve(first.standard, bytes_digest="a\0b" * 16)
    REGISTER.write_bytes(line_of(evolve(first, log=log, standard=standard)))
    ran = kept.run("recheck", "kept", "--format=json")
    assert ran.code == 1 and codes(ran) == ["K621", "K623", "K632"]
    assert ran.document["missing_files"] == ["a\0b"]


def test_what_this_version_refuses_is_not_graded_again(kept: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(
        recheck, "load_standard", lambda source: (None, (Diagnostic(MISSING, None, {"name": "x"}),))
    )
    ran = kept.run("recheck", "kept")
    assert ran.code == 1 and "cannot be graded again: the standard is refused: F501, `x` is not there" in ran.said


def test_records_taken_from_the_end_are_missed_by_a_noted_digest(kept: Any) -> None:
    noted = lines()[1]["digest"]
    assert kept.run("recheck", "kept", "--noted", noted[:12], "--noted", lines()[0]["digest"].upper()).code == 0
    REGISTER.write_bytes(REGISTER.read_bytes().splitlines(keepends=True)[0])
    assert kept.run("recheck", "kept").code == 0
    ran = kept.run("recheck", "kept", "--noted", noted)
    assert ran.code == 1 and f"doubt K617 found no record has the digest `{noted[:12]}...`" in ran.said
    for wrong in ("", noted[:11], "xyz" * 8):
        assert kept.run("recheck", "kept", f"--noted={wrong}").code == 2


def test_a_ruling_stands_beside_the_verdict(kept: Any, valid: Valid) -> None:
    before = REGISTER.read_bytes()
    ran = kept.run("ruling", "kept", 2, *RULED)
    assert (ran.code, ran.err) == (0, "")
    assert ran.out.startswith("    record 3: ruled GO by Examiner E-2, 2026-04-11T12:00:00Z: the hail was heard\n")
    assert REGISTER.read_bytes().startswith(before)
    ruling = lines()[2]
    valid("record", ruling)
    assert (
        ruling["of"] == {"number": 2, "digest": lines()[1]["digest"]} and ruling["before"] == lines()[1]["digest"]
    )
    again = kept.run("ruling", "kept", 2, *RULED, "--format=json").document
    valid("ruling", again)
    assert again["record"] == lines()[3]
    for verb in ("recheck", "register"):
        ran = kept.run(verb, "kept")
        rows = ran.out.splitlines()
        assert ran.code == 0 and rows[2].split()[:2] == ["2", "VOID"]
        assert rows[3] == "    record 3: ruled GO by Examiner E-2, 2026-04-11T12:00:00Z: the hail was heard"
        assert rows[4].startswith("    record 4: ") and "2 verdicts, 2 rulings" in ran.out
    for verb in ("register", "recheck"):
        valid(verb, kept.run(verb, "kept", "--format=json").document)


def test_a_ruling_without_a_time_has_that_of_the_clock(kept: Any) -> None:
    assert kept.run("ruling", "kept", 1, *RULED[:-2]).code == 0
    assert isinstance(read_time(lines()[2]["at"]), Timestamp)


@pytest.mark.parametrize(
    ("number", "told"),
    [(9, "no verdict with the record number 9"), (0, "record number 0"), (3, "record 3 is a ruling on 2")],
)
def test_a_ruling_on_what_is_no_verdict_is_refused(kept: Any, codes: Codes, number: int, told: str) -> None:
    kept.run("ruling", "kept", 2, *RULED)
    before = REGISTER.read_bytes()
    ran = kept.run("ruling", "kept", number, *RULED)
    assert ran.code == 2 and told in ran.said and "error K641" in ran.said
    document = kept.run("ruling", "kept", number, *RULED, "--format=json").document
    assert document["record"] is None and REGISTER.read_bytes() == before


@pytest.mark.parametrize("change", [("--by", " "), ("--reason", ""), ("--at", "noon"), ("--outcome", "NOT BEGUN")])
def test_a_ruling_says_who_why_and_when(kept: Any, change: tuple[str, str]) -> None:
    ran = kept.run("ruling", "kept", 1, *RULED, *change)
    assert ran.code == 2 and ran.err.startswith("usage: standfast ruling")
    assert len(lines()) == 2


def test_a_ruling_whose_verdict_was_replaced_is_found(kept: Any, codes: Codes) -> None:
    kept.run("ruling", "kept", 2, *RULED)
    first, _, third = REGISTER.read_bytes().splitlines(keepends=True)
    REGISTER.write_bytes(first + third)
    assert set(codes(kept.run("register", "kept", "--format=json"))) == {"K613", "K614", "K616"}
    assert "no verdict 2\n    record 3: ruled GO" in kept.run("register", "kept").out


@pytest.mark.parametrize("verb", [("recheck",), ("register",), ("ruling", "1", *RULED)])
def test_a_folder_without_records_is_an_error(bench: Any, verb: tuple[str, ...]) -> None:
    ran = bench.run(verb[0], "nowhere", *verb[1:])
    assert ran.code == 2 and "error K602 found no register in `nowhere`" in ran.said and ran.out == ""
    assert not Path("nowhere").exists()


def test_nothing_is_kept_where_it_cannot_be_and_the_verdict_is_given(bench: Any, codes: Codes) -> None:
    bench.standard("a.standard")
    log = bench.log("x.jsonl")
    bench.write("kept/register.records", "the minutes of the club\n")
    ran = bench.run("grade", "--keep", "kept", "--standard", "a.standard", log)
    assert ran.code == 2 and ran.out.startswith("GO  candidate C-1") and "record " not in ran.out
    assert "error K601 found `kept/register.records` is no register of standfast" in ran.said
    for place, told in (("x.jsonl", "`x.jsonl` after --keep is a file"), ("", "the name after --keep is empty")):
        ran = bench.run("grade", "--keep", place, "--standard", "a.standard", log)
        assert ran.code == 2 and told in ran.err


def test_a_doubt_of_times_that_the_call_states_is_kept_and_asked_again(bench: Any, valid: Valid) -> None:
    bench.standard("a.standard")
    call = ("grade", "--keep", "kept", "--standard", "a.standard", bench.log("x.jsonl"))
    bench.run(*call, "--times-within", "0.3 s")
    bench.run(*call)
    assert [one["times_within"] for one in lines()] == ["0.3 s", None]
    assert lines()[0]["verdict"]["doubt"] is not None and lines()[1]["verdict"]["doubt"] is None
    valid("record", lines()[0])
    assert bench.run("recheck", "kept").code == 0


def test_a_log_of_standard_input_lies_nowhere(bench: Any) -> None:
    bench.standard("a.standard")
    bench.feed(bench.log("x.jsonl").read_bytes())
    assert bench.run("grade", "--keep", "kept", "--standard", "a.standard", "-").code == 0
    assert lines()[0]["log"]["file"] is None and lines()[0]["verdict"]["log"] == "standard input"
    ran = bench.run("recheck", "kept")
    assert ran.code == 0 and "not found" not in ran.out


def test_tables_and_packed_logs_are_graded_again_from_their_copies(bench: Any) -> None:
    bench.standard("a.standard")
    table = "# session: S-1\r\n# standard: rope_throw\r\n# candidate: C-2\r\n# condition lookouts: 2\r\n"
    bench.write("logs/b.csv", f"{table}at;mark\r\n0:00.0;go\r\n0:06.0;hit\r\n0:09.5;hit\r\n")
    log = bench.log("x.jsonl").read_bytes()
    bench.write("logs/c.jsonl.gz", gzip.compress(log.replace(b"C-1", b"C-3")))
    with ZipFile("logs/d.zip", "w") as archive:
        archive.writestr("e.jsonl", log.replace(b"C-1", b"C-4"))
    ran = bench.run("grade", "--keep", "kept", "--standard", "a.standard", "logs")
    assert (ran.code, ran.err) == (0, "")
    assert [one["log"]["file"] for one in lines()] == ["../logs/b.csv", None, None]
    assert Path("kept/copies", f"{lines()[2]['log']['digest']}.log").read_bytes() == log.replace(b"C-1", b"C-4")
    ran = bench.run("recheck", "kept")
    assert (ran.code, ran.err) == (0, "") and ran.out.count("  fits  ") == 3


def test_all_candidates_of_a_log_are_kept_at_once(bench: Any) -> None:
    bench.standard("a.standard")
    text = bench.log("x.jsonl", candidates=["C-1", "<b>", "=1+1"]).read_text()
    text = text.replace('"candidate": "C-1", ', "").replace('"mark"', '"candidate": "all", "mark"')
    bench.write("x.jsonl", text)
    assert bench.run("grade", "--keep", "kept", "--standard", "a.standard", "x.jsonl").code == 0
    assert [one["candidate"] for one in lines()] == ["C-1", "<b>", "=1+1"]
    assert bench.run("recheck", "kept").code == 0


def test_the_clock_of_the_machine_is_in_no_record_of_a_verdict(kept: Any) -> None:
    assert lines()[0]["program"] == standfast.__version__
    before = REGISTER.read_bytes()
    for path in sorted(Path("kept").rglob("*"), reverse=True):
        path.rmdir() if path.is_dir() else path.unlink()
    kept.run("grade", "--keep", "kept", "--standard", "rules", "logs")
    assert REGISTER.read_bytes() == before
