"""`grade --continued` from the command line. `bench` is in `conftest.py`."""

from collections.abc import Callable
from typing import Any

import pytest

HEAD = (
    '{"session":"S-1","standard":"rope_throw","candidate":"C-1","started":"2026-04-1%dT09:00:00Z",'
    '"conditions":{"lookouts":2}}\n'
)


def two_days(bench: Any) -> tuple[Any, Any]:
    bench.standard("a.standard")
    text = bench.write("a.standard", (bench.folder / "a.standard").read_text().replace("attempts 1", "attempts 2"))
    assert text.exists()
    first = '{"at":"0:00","mark":"go"}\n{"end":"2:00"}\n'
    second = '{"at":"0:00","mark":"go"}\n{"at":"0:01","mark":"hit"}\n{"at":"0:02","mark":"hit"}\n'
    return bench.write("1.jsonl", HEAD % 1 + first), bench.write("2.jsonl", HEAD % 2 + second)


def test_logs_of_one_session_are_graded_as_one(bench: Any, valid: Callable[[str, object], None]) -> None:
    logs = two_days(bench)
    by_itself = bench.run("grade", "--standard", "a.standard", *logs)
    assert by_itself.code == 1 and "if one continues the other give --continued" in by_itself.said
    ran = bench.run("grade", "--continued", "--standard", "a.standard", *logs)
    assert (ran.code, ran.err) == (0, "")
    assert "\nlog 1.jsonl, 2.jsonl\n  entry 1 in 1.jsonl, begun at 0:00, log " in ran.out
    assert "\n  entries 2 to 4 in 2.jsonl, begun at 24:00:00, log " in ran.out
    document = bench.run("grade", "--continued", "--format=json", "--standard", "a.standard", *logs).document
    valid("grade", document)
    (verdict,) = document["verdicts"]
    assert [(part["log"], part["entries"], part["zero"]) for part in verdict["joined_logs"]] == [
        ("1.jsonl", {"first": 1, "last": 1}, "0:00.000000"),
        ("2.jsonl", {"first": 2, "last": 4}, "1440:00.000000"),
    ]
    page = bench.run("grade", "--continued", "--page", "x.html", "--standard", "a.standard", *logs)
    assert page.code == 0 and "entries 2 to 4 in 2.jsonl" in (bench.folder / "x.html").read_text("utf-8").replace(
        "\u00a0", " "
    )


def test_one_bad_log_does_not_keep_others_from_being_graded(bench: Any, codes: Callable[[Any], list[str]]) -> None:
    logs = two_days(bench)
    bad = bench.write("bad.jsonl", "not json\n")
    alone = bench.log("alone.jsonl", candidate="C-2")
    same = bench.write("3.jsonl", (HEAD % 3).replace("C-1", "C-2") + '{"at":"0:00","mark":"go"}\n')
    ran = bench.run("grade", "--continued", "--format=json", "--standard", "a.standard", bad, *logs, alone, same)
    assert ran.code == 2 and [v["outcome"] for v in ran.document["verdicts"]] == ["GO"]
    assert codes(ran)[1:] == ["F524"] and ran.document["not_graded"] == ["bad.jsonl", "alone.jsonl, 3.jsonl"]


@pytest.mark.parametrize("other", [("--live",), ("--keep", "records")])
def test_what_is_about_one_log_does_not_go_with_it(bench: Any, other: tuple[str, ...]) -> None:
    ran = bench.run("grade", "--continued", *other, "--standard", "a.standard", *two_days(bench))
    assert ran.code == 2 and f"--continued does not go with {other[0]}" in ran.said


@pytest.mark.parametrize("form", ["lines", "csv"])
def test_it_does_not_go_with_the_forms_for_many_logs(bench: Any, form: str) -> None:
    ran = bench.run("grade", "--continued", "--format", form, "--standard", "a.standard", *two_days(bench))
    assert ran.code == 2 and "--continued goes with --format text or json" in ran.said
