"""`compare` from the command line. `bench` is the folder and the command line of `conftest.py`."""

from collections.abc import Callable

from .conftest import Bench

BODY = """\
standard rope_throw "Rope throw"
    edition "{edition}"
    in force from 2026-01-01

marks
    go "A signal"
    throw "A throw"
    hit "A hit"

event throwing "Two hits"
    attempts 1
    start on go
    until 2 hits
    within {limit}
"""


def edition(bench: Bench, number: int, limit: str) -> str:
    return str(bench.write(f"edition_{number}.standard", BODY.format(edition=number, limit=limit)))


def test_the_same_is_exit_0(bench: Bench) -> None:
    ran = bench.run("compare", edition(bench, 1, "1 min"), edition(bench, 2, "60 s"))
    assert ran.code == 0
    assert ran.err == ""
    assert ran.out.startswith("same: standard rope_throw, edition 1, then edition 2\n")


def test_a_difference_is_exit_1_and_shows_the_log(bench: Bench) -> None:
    ran = bench.run("compare", edition(bench, 1, "60 s"), edition(bench, 2, "50 s"))
    assert ran.code == 1
    assert "the whole test: harder" in ran.out
    assert (
        "  GO under the old edition alone: the shortest log\n"
        "      0:00 go\n"
        "      0:51 hit\n"
        "      0:52 hit\n"
        "    old: GO\n"
        "    new: NO-GO\n"
        "      fail: throwing.within at 0:50; within 50 s\n"
        "  GO under the new edition alone: no log\n"
    ) in ran.out


def test_as_a_document(bench: Bench, valid: Callable[[str, object], None]) -> None:
    ran = bench.run("compare", "--format", "json", edition(bench, 1, "60 s"), edition(bench, 2, "4 throws"))
    assert ran.code == 1
    valid("compare", ran.document)
    found = ran.document["comparison"]
    assert found["word"] == "mixed"
    assert [entry["mark"] for entry in found["whole"]["lost"]["log"]["entries"]] == [
        "go",
        *["throw"] * 5,
        "hit",
        "hit",
    ]
    assert found["whole"]["lost"]["new"]["outcome"] == "NO-GO"
    assert found["events"][0]["course"] == found["whole"]


def test_trouble_is_exit_2(bench: Bench, valid: Callable[[str, object], None]) -> None:
    good = edition(bench, 1, "60 s")
    bad = edition(bench, 2, "60 parrots")
    ran = bench.run("compare", good, bad)
    assert ran.code == 2
    assert ran.out == ""
    assert "parrots" in ran.said
    as_json = bench.run("compare", "--format", "json", good, bad)
    assert as_json.code == 2
    valid("compare", as_json.document)
    assert as_json.document["comparison"] is None
    assert bench.run("compare", good, "nowhere.standard").code == 2
    assert bench.run("compare", good).code == 2


def test_equal_bytes_each_time(bench: Bench) -> None:
    files = edition(bench, 1, "60 s"), edition(bench, 2, "50 s")
    assert (
        bench.run("compare", "--format", "json", *files).out
        == bench.run("compare", "--format", "json", *files).out
    )


LOG = (
    '{"session": "s", "standard": "rope_throw", "candidate": "C-1"}\n'
    '{"at": "0:00", "mark": "go"}\n{"at": "0:30", "mark": "hit"}\n{"at": "0:55", "mark": "hit"}\n'
)


def archive(bench: Bench) -> str:
    bench.write("logs/late.jsonl", LOG)
    bench.write("logs/early.jsonl", LOG.replace("0:55", "0:45").replace("C-1", "C-2"))
    bench.write("logs/torn.jsonl", LOG[:80])
    bench.write("logs/other.jsonl", LOG.replace("rope_throw", "boat_check"))
    return str(bench.write("logs/strange.jsonl", LOG.replace('"hit"', '"miss"', 1)).parent)


def test_clause_by_clause(bench: Bench) -> None:
    ran = bench.run("compare", edition(bench, 1, "60 s"), edition(bench, 2, "50 s"))
    assert (
        "clause by clause: 1 change\n"
        "  altered, harder: throwing.within\n"
        "      old, line 14: within 60 s\n"
        "      new, line 14: within 50 s\n"
    ) in ran.out
    assert "clause by clause: nothing was changed\n" in bench.run("compare", *[edition(bench, 1, "60 s")] * 2).out


def test_an_archive_under_both(bench: Bench) -> None:
    editions = edition(bench, 1, "60 s"), edition(bench, 2, "50 s")
    ran = bench.run("compare", *editions, "--archive", archive(bench))
    assert ran.code == 1
    assert "the archive: 5 logs, 2 candidates graded under both editions\n" in ran.out
    assert "  GO          NO-GO                1\n" in ran.out
    assert "  by throwing.within of the new edition: 1 candidate\n" in ran.out
    assert "  candidate C-1, session s: GO, then NO-GO\n" in ran.out
    assert "  1 no log that can be read; " in ran.out
    assert "  1 a log of another standard: boat_check; " in ran.out
    assert "  1 not as the old edition has it: the mark `miss` is not declared" in ran.out


def test_an_archive_in_a_document(bench: Bench, valid: Callable[[str, object], None]) -> None:
    editions = edition(bench, 1, "60 s"), edition(bench, 2, "50 s")
    ran = bench.run("compare", "--format", "json", *editions, "--archive", archive(bench))
    valid("compare", ran.document)
    (change,) = ran.document["changes"]
    assert (change["kind"], change["points"], change["figures"]) == (
        "altered",
        "harder",
        [{"old": "60 s", "new": "50 s"}],
    )
    found = ran.document["impact"]
    assert [row["count"] for row in found["table"]] == [1, 1]
    assert [(each["candidate"], each["by"], each["by_edition"]) for each in found["changes"]] == [
        ("C-1", ["throwing.within"], "new")
    ]
    assert [each["count"] for each in found["apart"]] == [1, 1, 1]


def test_an_archive_that_is_not_there_is_trouble(bench: Bench) -> None:
    same = [edition(bench, 1, "60 s")] * 2
    ran = bench.run("compare", *same, "--archive", "nowhere", "--page", "revision.html")
    assert ran.code == 2
    assert "nowhere" in ran.said
    assert "candidates graded" not in ran.out
    assert "revision.html was not written, since not all of the archive could be looked through" in ran.out
    assert not (bench.folder / "revision.html").exists()


def test_a_page(bench: Bench) -> None:
    editions = edition(bench, 1, "60 s"), edition(bench, 2, "50 s")
    page = bench.folder / "revision.html"
    ran = bench.run("compare", *editions, "--archive", archive(bench), "--page", str(page))
    assert ran.code == 1
    assert "wrote " in ran.out
    text = page.read_text(encoding="utf-8")
    assert "<h1>Rope throw: " in text
    assert "1 from GO to NO-GO" in text
    assert bench.run("compare", *editions, "--page", "revision.pdf").code == 2
    assert bench.run("compare", *editions, "--page", "nowhere/revision.html").code == 2
