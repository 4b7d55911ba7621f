"""Logs without number: `grade --format lines` and `--format csv`.

`bench` is the folder and the command line of `conftest.py`.
"""

import csv
import io
import json
import os
import sys
import tracemalloc
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any
from zipfile import ZipFile

import pytest
from environment import ROOT

from standfast.codes import files
from standfast.command import many
from standfast.command.files import LOG_ENDINGS, named
from standfast.command.grader import Log, Setting, Share, begin, broken, graded
from standfast.command.progress import Progress
from standfast.command.workers import Workers
from standfast.pipeline import Ready
from standfast.report.results import COLUMNS

Valid = Callable[[str, object], None]
GRADE = ("grade", "--standard", "a.standard", "--jobs", "1")


def lines(ran: Any, valid: Valid) -> list[Any]:
    """Those of the logs; the summary last."""
    found = [json.loads(line) for line in ran.out.splitlines()]
    for each in found[:-1]:
        valid("graded", each)
    valid("summary", found[-1])
    return found


def rows(ran: Any) -> list[dict[str, str]]:
    assert ran.out.startswith("\ufeff")
    return list(csv.DictReader(io.StringIO(ran.out.removeprefix("\ufeff"), newline="")))


@pytest.fixture
def archive(bench: Any) -> Any:
    """Some logs in folders, a bad one among them, and a zip archive."""
    bench.standard("a.standard", limit=3)
    for number in range(3):
        bench.log(f"logs/b/{number}.jsonl", session=f"S-{number}", candidate=f"C-{number}")
    bench.write("logs/b/1.jsonl", "not json\n")
    bench.log("logs/a.jsonl", session="S-9")
    with ZipFile("logs/c.zip", "w") as packed:
        packed.write(bench.log("d.jsonl", session="S-0", candidate="C-0"), "d.jsonl")
    return bench


def test_each_log_is_a_line_in_the_order_of_names(archive: Any, valid: Valid) -> None:
    ran = archive.run(*GRADE, "--format", "lines", "logs")
    assert ran.code == 2
    *found, summary = lines(ran, valid)
    assert [each["log"] for each in found] == [
        "logs/a.jsonl", "logs/b/0.jsonl", "logs/b/1.jsonl", "logs/b/2.jsonl", "logs/c.zip: d.jsonl",
    ]  # fmt: skip
    assert [len(each["verdicts"]) for each in found] == [1, 1, 0, 1, 1]
    assert [[one["code"] for one in each["diagnostics"]] for each in found] == [[], [], ["L407"], [], ["F522"]]
    assert "from `logs/b/0.jsonl`" in found[4]["diagnostics"][0]["message"]
    assert (summary["logs"], summary["not_graded"]) == (5, 1)
    offline = archive.run("grade", "--standard", "a.standard", "--format", "json", "logs").document
    assert [verdict for each in found for verdict in each["verdicts"]] == offline["verdicts"]


def test_as_a_table_each_verdict_is_a_row(archive: Any) -> None:
    ran = archive.run(*GRADE, "--format", "csv", "logs")
    found = rows(ran)
    assert tuple(found[0]) == COLUMNS
    assert [(row["log"], row["outcome"], row["clauses"]) for row in found] == [
        ("logs/a.jsonl", "NO-GO", "rope.throws.within_throw"),
        ("logs/b/0.jsonl", "NO-GO", "rope.throws.within_throw"),
        ("logs/b/1.jsonl", "not graded", ""),
        ("logs/b/2.jsonl", "NO-GO", "rope.throws.within_throw"),
        ("logs/c.zip: d.jsonl", "NO-GO", "rope.throws.within_throw"),
    ]
    assert found[2]["problems"].startswith("L407, line 1: ") and found[4]["problems"].startswith("F522: ")
    assert found[0]["decided_at"] == "0:14.000000"
    assert ran.err == (
        "5 logs, 1 not graded\n"
        "standard rope_throw, edition 1: 4 verdicts, 4 NO-GO\n"
        "  100 % (4): rope.throws.within_throw\n"
    )


def test_what_is_owed_corrected_or_close_is_told_in_both_forms(bench: Any, valid: Valid) -> None:
    bench.standard("a.standard")
    cut = bench.log("cut.jsonl", session="S-1").read_text("utf-8").splitlines()[:-1]
    bench.write("cut.jsonl", "\n".join(cut) + "\n")
    for number, amended in (("2", "1:40"), ("3", "0:16")):
        text = bench.log(f"{number}.jsonl", session=f"S-{number}").read_text("utf-8")
        late = text.replace('{"at": "0:15"', f'{{"at": "{amended}"')
        correction = {"amend": 7, "at": "0:15", "by": "G-2", "note": "misread"}
        bench.write(f"{number}.jsonl", f"{late}{json.dumps(correction)}\n")
    logs = ("cut.jsonl", "2.jsonl", "3.jsonl")
    told = rows(bench.run(*GRADE, "--times-within", "37.501 s", "--format", "csv", *logs))
    said = ("outcome", "clauses", "times", "corrections", "without_corrections")
    assert [tuple(row[column] for column in said) for row in told] == [
        ("UNFINISHED", "rope.throws.goal", "stands", "", ""),
        ("GO", "", "close call", "changed", "NO-GO"),
        ("GO", "", "close call", "unchanged", "GO"),
    ]
    found = lines(bench.run(*GRADE, "--times-within", "37.501 s", "--format", "lines", *logs), valid)
    verdicts = [verdict for each in found[:-1] for verdict in each["verdicts"]]
    assert [[owed["path"] for owed in verdict["owed"]] for verdict in verdicts] == [["rope.throws.goal"], [], []]
    without = [verdict["without_corrections"] for verdict in verdicts]
    assert [each and each["changed"] for each in without] == [None, True, False]
    assert [verdict["doubt"]["firmness"] for verdict in verdicts] == [row["times"] for row in told]


def test_no_cell_is_run_by_a_spreadsheet(bench: Any) -> None:
    bench.standard("a.standard")
    log = bench.log("x.jsonl", candidate='=cmd("x"),1', session="<script>")
    ran = bench.run(*GRADE, "--format", "csv", log)
    assert rows(ran)[0]["candidate"] == '\'=cmd("x"),1'
    assert rows(ran)[0]["session"] == "<script>"


FACTS = """\
standard carrying "Carrying"
    edition "1"
    in force from 2024-01-01

candidate
    duty is one of boat, shore "The duty trained for"

marks
    go "A signal"
    slip "A slip"

event walk
    attempts 1
    start on go
    fail on slip
    step hold
        for 5 s
"""


def test_the_summary_says_whom_a_clause_fails(bench: Any, valid: Valid) -> None:
    bench.write("a.standard", FACTS)
    for number, (duty, mark) in enumerate(
        [("boat", "slip"), ("boat", "slip"), ("shore", "slip"), ("shore", "go")]
    ):
        header = {"session": f"S-{number}", "standard": "carrying", "candidate": "C-1", "facts": {"duty": duty}}
        entries = [{"at": "0:00", "mark": "go"}, {"at": "0:01", "mark": mark}, {"end": "0:09"}]
        bench.write(f"logs/{number}.jsonl", "".join(json.dumps(line) + "\n" for line in (header, *entries)))
    ran = bench.run(*GRADE, "--format", "lines", "logs")
    assert ran.err == (
        "4 logs, 0 not graded\n"
        "standard carrying, edition 1: 4 verdicts, 1 GO, 3 NO-GO\n"
        "  75 % (3): walk.slip\n"
        "      duty boat 100 % (2 of 2), duty shore 50 % (1 of 2)\n"
    )
    page = (ROOT / "standards" / "logs.md").read_text("utf-8")
    assert f"\n```summary\n{ran.err}```\n" in page
    (clause,) = lines(ran, valid)[-1]["standards"][0]["clauses"]
    assert clause == {
        "path": "walk.slip",
        "verdicts": 3,
        "of": [
            {"sort": "duty boat", "verdicts": 2, "among": 2},
            {"sort": "duty shore", "verdicts": 1, "among": 2},
        ],
    }


def many_logs(bench: Any) -> None:
    bench.standard("a.standard")
    for number in range(70):
        bench.log(f"logs/{number:02d}.jsonl", session=f"S-{number % 60}")
    bench.write("logs/33.jsonl", "not json\n")


@pytest.mark.parametrize(("form", "threads"), [("lines", None), ("csv", None), ("csv", 2)])
def test_two_processes_give_what_one_gives(
    bench: Any, monkeypatch: pytest.MonkeyPatch, form: str, threads: int | None
) -> None:
    """Whether they begin as copies of this one, or anew since another thread is running here."""
    if threads is not None:
        monkeypatch.setattr("threading.active_count", lambda: threads)
    many_logs(bench)
    one = bench.run(*GRADE, "--format", form, "logs")
    two = bench.run("grade", "--standard", "a.standard", "--jobs", "2", "--format", form, "logs")
    assert (two.code, two.out, two.err) == (one.code, one.out, one.err) and one.out.count("F522") == 10


def test_a_broken_standard_is_told_with_every_log(bench: Any, valid: Valid) -> None:
    """What a log gives does not hang on which process graded which log before."""
    many_logs(bench)
    bench.write("rules/a.standard", Path("a.standard").read_text().replace("until 2 hits", "until 2 hurdles"))
    found = [
        bench.run("grade", "--standard", "rules", "--jobs", jobs, "--format", "lines", "logs") for jobs in (1, 2)
    ]
    assert found[0].out == found[1].out
    told = [len(each["diagnostics"]) for each in lines(found[0], valid)[:-1] if each["log"] != "logs/33.jsonl"]
    assert set(told) == {2}


def _dies(logs: Sequence[Log]) -> Share:
    """Grades, but a log of one name ends its process as the system does."""
    if any(getattr(log, "place", "").endswith("40.jsonl") for log in logs):
        os._exit(9)
    return graded(logs)


def test_a_log_that_breaks_its_process_takes_no_other_with_it(bench: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    many_logs(bench)
    usual = bench.run(*GRADE, "--format", "csv", "logs").out.splitlines()
    monkeypatch.setattr(many, "graded", _dies)
    ran = bench.run("grade", "--standard", "a.standard", "--jobs", "2", "--format", "csv", "logs")
    assert ran.code == 2
    differing = [(a, b) for a, b in zip(usual, ran.out.splitlines(), strict=True) if a != b]
    assert [b for _, b in differing] == [
        "logs/40.jsonl,,,,,not graded,,,,,,,,F540: grading broke down at `logs/40.jsonl`"
    ]


def test_a_fault_of_the_program_takes_no_other_log_with_it(bench: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    bench.standard("a.standard")
    logs = [bench.log("x.jsonl"), bench.log("y.jsonl", session="S-2")]
    real = Ready.grade

    def fails(ready: Ready, log: Any, doubt: Any) -> Any:
        if log.name == "x.jsonl":
            raise RecursionError
        return real(ready, log, doubt)

    monkeypatch.setattr(Ready, "grade", fails)
    ran = bench.run(*GRADE, "--format", "csv", *logs)
    assert ran.code == 2 and [row["outcome"] for row in rows(ran)] == ["not graded", "GO"]
    assert rows(ran)[0]["problems"] == "F540: grading broke down at `x.jsonl`"


@pytest.mark.parametrize(
    ("given", "said"),
    [
        (("--format", "lines", "--keep", "kept"), "--keep does not go with --format lines"),
        (("--format", "csv", "--page", "x.html"), "--page does not go with --format csv"),
        (("--format", "csv", "--live"), "--live does not go with --format csv"),
        (("--format", "csv", "--jobs", "0"), "--jobs is a whole number from 1 to 256"),
        (("--format", "csv", "--jobs", "two"), "--jobs is a whole number from 1 to 256"),
        (("--jobs", "2"), "--jobs goes with --format lines or csv"),
    ],
)
def test_what_does_not_go_together_is_a_mistake(bench: Any, given: tuple[str, ...], said: str) -> None:
    bench.standard("a.standard")
    ran = bench.run("grade", "--standard", "a.standard", *given, bench.log("x.jsonl"))
    assert ran.code == 2 and ran.out == "" and said in ran.said


def test_without_logs_there_is_an_error_and_no_row(bench: Any, valid: Valid) -> None:
    bench.standard("a.standard")
    Path("empty").mkdir()
    ran = bench.run(*GRADE, "--format", "lines", "empty")
    found, summary = lines(ran, valid)
    assert ran.code == 2 and found["log"] is None and summary["logs"] == 0
    assert rows(bench.run(*GRADE, "--format", "csv", "empty"))[0]["problems"].startswith("F503: ")


class _Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


def test_progress_is_drawn_on_a_terminal_only(archive: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    terminal = _Terminal()
    monkeypatch.setattr(sys, "stderr", terminal)
    archive.run(*GRADE, "--format", "csv", "logs")
    drawn = terminal.getvalue()
    assert drawn.startswith("\r[") and " of 5 logs\r" in drawn and "\r\x1b[K5 logs, 1 not graded" in drawn
    monkeypatch.setattr(sys, "stderr", io.StringIO())
    progress = Progress(lambda: pytest.fail("nobody sees how many there are"))
    progress.step()
    progress.clear()


def test_a_large_archive_is_read_from_its_file(bench: Any) -> None:
    """Only its beginning is read to see what it is."""
    bench.standard("a.standard")
    for comment in (b"", b"not plain"):
        with ZipFile("big.zip", "w") as packed:
            packed.write(bench.log("x.jsonl"), "x.jsonl")
            packed.writestr("other.bin", os.urandom(3_000_000))
            packed.comment = comment
        tracemalloc.start()
        assert [row["outcome"] for row in rows(bench.run(*GRADE, "--format", "csv", "big.zip"))] == ["GO"]
        assert tracemalloc.get_traced_memory()[1] < 2_900_000
        tracemalloc.stop()


def test_workers_keep_the_order_and_take_little_ahead() -> None:
    taken: list[int] = []

    def batches() -> Any:
        for number in range(40):
            taken.append(number)
            yield (number, number + 1)

    shared: Workers[int, str] = Workers(2, _nothing, (), str, _broke)
    results = shared.results(batches())
    first = next(results)
    assert first == "(0, 1)" and len(taken) <= 8
    assert [first, *results] == [str((number, number + 1)) for number in range(40)]


def _nothing() -> None:
    pass


def _broke(number: int) -> str:
    return f"{number} broke"


def test_a_log_graded_by_itself_is_told_as_if_it_were_the_first(bench: Any) -> None:
    bench.standard("a.standard")
    setting = Setting(("a.standard",), None, as_table=False)
    begin(setting)
    logs = list(named([str(bench.log("x.jsonl"))], LOG_ENDINGS, files.NO_LOGS))
    assert graded(logs) == graded(logs) != broken(setting, logs[0])
