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
