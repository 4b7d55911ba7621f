"""Verdicts as a page from the command line. `bench` is the folder and the command line of `conftest.py`."""

from typing import Any


def test_one_verdict_becomes_a_page(bench: Any) -> None:
    ran = bench.run(
        "grade", "--standard", bench.standard("a.standard"), bench.log("one.jsonl"), "--page", "one.html"
    )
    assert (
        (ran.code, ran.err) == (0, "") and ran.out.startswith("GO  ") and ran.out.endswith("\n\nwrote one.html\n")
    )
    page = (bench.folder / "one.html").read_text(encoding="utf-8")
    assert page.startswith("<!DOCTYPE html>") and "<bdi>C-1</bdi>" in page and "Verdicts" not in page


def test_several_logs_become_one_page_with_a_row_for_each_graded_or_not(bench: Any) -> None:
    standard = bench.standard("a.standard", limit=3)
    bench.log("logs/a.jsonl", candidate="C-1")
    bench.log("logs/b.jsonl", candidate="C-2", conditions={"lookouts": 1})
    bench.write("logs/c.jsonl", "{torn")
    ran = bench.run("grade", "--standard", standard, "logs", "--page", "class.html")
    assert ran.code == 2
    page = (bench.folder / "class.html").read_text(encoding="utf-8")
    assert (
        "<h1>2 verdicts: 1 NO-GO and 1 VOID</h1>" in page and "too many throws (rope.throws.within_throw)" in page
    )
    assert page.count("not graded") == 1 and "<bdi>logs/c.jsonl</bdi>" in page


def test_the_page_is_replaced_and_always_the_same(bench: Any) -> None:
    given = ("grade", "--standard", bench.standard("a.standard"), bench.log("one.jsonl"), "--page", "one.html")
    bench.run(*given)
    first = (bench.folder / "one.html").read_bytes()
    bench.write("one.html", first + b"older and longer")
    bench.run(*given)
    assert (bench.folder / "one.html").read_bytes() == first


def test_with_json_nothing_but_the_document_is_printed(bench: Any) -> None:
    given = ("grade", "--standard", bench.standard("a.standard"), bench.log("one.jsonl"), "--format", "json")
    assert bench.run(*given, "--page", "one.html").out == bench.run(*given).out
    assert (bench.folder / "one.html").exists()


def test_what_cannot_be_written_is_reported_and_the_verdicts_are_printed_all_the_same(bench: Any) -> None:
    given = ("grade", "--standard", bench.standard("a.standard"), bench.log("one.jsonl"))
    for place in ("gone/one.html", f"{'x' * 300}.html"):
        ran = bench.run(*given, "--page", place)
        assert ran.code == 2 and "GO  candidate C-1" in ran.out and "wrote" not in ran.out
        assert f"error F515 found `{place}` cannot be written: " in ran.said
    document = bench.run(*given, "--page", "gone/one.html", "--format", "json").document
    assert [one["code"] for one in document["diagnostics"]] == ["F515"] and len(document["verdicts"]) == 1


def test_a_log_or_a_standard_is_never_taken_for_the_page(bench: Any) -> None:
    log, other = bench.log("one.jsonl"), bench.log("two.jsonl", candidate="C-2")
    before = other.read_bytes()
    ran = bench.run("grade", "--standard", bench.standard("a.standard"), log, "--page", "two.jsonl")
    assert ran.code == 2 and "`two.jsonl` after --page does not end in `.html`" in ran.said
    assert other.read_bytes() == before and ran.out == ""


def test_names_that_look_like_code_do_no_harm_on_page_and_terminal(bench: Any) -> None:
    standard = bench.standard("a.standard")
    for number, name in enumerate(("<script>alert(1)</script>", "=cmd()", "\u05e9\u05d7\u05e8")):
        bench.log(f"logs/{number}.jsonl", candidate=name)
    ran = bench.run("grade", "--standard", standard, "logs", "--page", "class.html")
    page = (bench.folder / "class.html").read_text(encoding="utf-8")
    assert ran.code == 0 and "<script" not in page and "<bdi>&lt;script&gt;alert(1)&lt;/script&gt;</bdi>" in page
    hidden = bench.run(
        "grade", "--standard", standard, bench.log("h.jsonl", candidate="a\u202eb"), "--page", "h.html"
    )
    told = hidden.out + hidden.err + (bench.folder / "h.html").read_text(encoding="utf-8")
    assert hidden.code == 2 and "U+202E" in hidden.err and "\u202e" not in told
