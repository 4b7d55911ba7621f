"""A log followed while it is written: `grade --live`.

`bench` is the folder and the command line of `conftest.py`.
"""

import json
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from random import Random
from typing import Any

import pytest
from shipped import with_engine

from standfast.command import growing, live

Valid = Callable[[str, object], None]
HEADER = {"session": "S-1", "standard": "rope_throw", "candidate": "C-1", "conditions": {"lookouts": 2}}


def lines(*entries: dict[str, Any], **header: object) -> bytes:
    return b"".join(json.dumps(line).encode() + b"\n" for line in ({**HEADER, **header}, *entries))


def at(when: str, mark: str, **more: object) -> dict[str, Any]:
    return {"at": when, "mark": mark, **more}


LOG = lines(at("0:00", "go"), at("0:05", "throw"), at("0:06.5", "hit"), at("0:10", "hit"))


@pytest.fixture
def feed(bench: Any, monkeypatch: pytest.MonkeyPatch) -> Callable[..., Any]:
    """Grades a log that comes as these contents, one after another; Ctrl-C is pressed after them."""

    def run(contents: list[bytes], *options: str, name: str = "x.jsonl") -> Any:
        def contents_then_stop(_: str) -> Iterator[bytes]:
            yield from contents
            raise KeyboardInterrupt

        monkeypatch.setattr(live, "growing", contents_then_stop)
        return bench.run("grade", "--live", "--standard", "a.standard", *options, bench.write(name, contents[-1]))

    bench.standard("a.standard")
    return run


def test_each_entry_shows_where_the_candidate_stands(feed: Callable[..., Any]) -> None:
    ran = feed([LOG])
    assert ran.code == 0 and ran.err == ""
    blocks = ran.out.split("\n\n")
    assert blocks[0] == (
        "before the first entry\n"
        "  C-1  undecided; rope 1 left\n"
        "      owed   rope.start: start on go\n"
        "      mark   go: opens an attempt at rope"
    )
    assert blocks[2] == (
        "entry 2 (line 3) at 0:05: throw\n"
        "  C-1  undecided; rope attempt 1 open, 0 left\n"
        "      owed   rope.throws.goal: until 2 hits, so far 0\n"
        "      clock  1:25 left, until 1:30: rope.throws.within, within 90 s; fail after\n"
        "      mark   throw, hit: counts"
    )
    assert blocks[3].splitlines()[2:] == [
        "      owed   rope.throws.goal: until 2 hits, so far 1",
        "      clock  1:23.5 left, until 1:30: rope.throws.within, within 90 s; fail",
        "               after",
        "      mark   throw: counts",
        "      mark   hit: completes rope.throws",
    ]
    assert blocks[4] == "entry 4 (line 5) at 0:10: hit\n  C-1  GO at 0:10; rope GO"
    assert blocks[5].startswith("GO  candidate C-1, session S-1\n")


def documents(ran: Any, valid: Valid) -> list[Any]:
    found = [json.loads(line) for line in ran.out.splitlines()]
    for document in found[:-1]:
        valid("live", document)
    valid("grade", found[-1])
    return found


def test_as_json_each_entry_is_a_line_and_the_last_is_what_grading_gives(
    bench: Any, feed: Callable[..., Any], valid: Valid
) -> None:
    ran = feed([LOG], "--format=json")
    *stands, graded = documents(ran, valid)
    assert [stand["entry"] for stand in stands] == [None, 1, 2, 3, 4]
    (position,) = stands[2]["candidates"]
    (clock,) = position["clocks"]
    assert clock["left"] == {"amount": "85", "unit": "s"} and clock["effect"] == "fail"
    assert position["attempts"] == [
        {"event": "rope", "outcome": "UNFINISHED", "charged": 1, "open": True, "left": 0}
    ]
    assert stands[-1]["candidates"][0]["outcome"] == "GO"
    offline = bench.run("grade", "--format=json", "--standard", "a.standard", "x.jsonl")
    assert graded == offline.document and ran.code == offline.code


def test_a_half_written_line_is_waited_for(feed: Callable[..., Any]) -> None:
    cut = LOG.index(b'"throw"') + 3
    ran = feed([LOG[:cut]], "--format=json")
    *stands, graded = map(json.loads, ran.out.splitlines())
    assert [stand["entry"] for stand in stands] == [None, 1] and graded["diagnostics"] == []
    assert [verdict["outcome"] for verdict in graded["verdicts"]] == ["UNFINISHED"]


def test_a_whole_object_needs_no_line_end(feed: Callable[..., Any]) -> None:
    ran = feed([LOG.rstrip(b"\n")], "--format=json")
    assert [json.loads(line).get("entry") for line in ran.out.splitlines()] == [None, 1, 2, 3, 4, None]
    assert ran.code == 0


STRUCK = lines(
    at("0:00", "go"),
    at("0:05", "throw"),
    at("0:06", "hit"),
    at("0:07", "hit"),
    {"strike": 4, "by": "G-2", "note": "wrong lane"},
    at("0:09", "hit"),
)


def test_a_correction_stands_everything_anew(feed: Callable[..., Any], valid: Valid) -> None:
    *stands, _ = documents(feed([STRUCK], "--format=json"), valid)
    assert [(stand["entry"], stand["anew"]) for stand in stands] == [
        *((number, False) for number in (None, 1, 2, 3, 4)), (3, True), (5, False),
    ]  # fmt: skip
    outcomes = [stand["candidates"][0]["outcome"] for stand in stands]
    assert outcomes == [*["UNFINISHED"] * 4, "GO", "UNFINISHED", "GO"]
    assert "\nall anew (1 correction), up to entry 3 (line 4) at 0:06: hit\n" in feed([STRUCK]).out


CLASS = lines(
    at("0:00", "go", candidate="all"),
    at("0:05", "hit", candidate="C-2"),
    {"at": "0:06", "leave": "C-2"},
    {"at": "0:10", "join": "C-3"},
    at("0:11", "go", candidate="all"),
    at("0:12", "hit", candidate="C-3"),
    candidate=None,
    candidates=["C-1", "C-2"],
).replace(b'"candidate": null, ', b"")


def test_who_joins_and_who_leaves_is_shown(feed: Callable[..., Any], valid: Valid) -> None:
    *stands, graded = documents(feed([CLASS], "--format=json"), valid)
    assert [stand["joins_or_leaves"] for stand in stands] == [None, None, None, "C-2", "C-3", None, None]
    assert not any(stand["anew"] for stand in stands)
    assert [one["candidate"] for one in stands[-1]["candidates"]] == ["C-1", "C-2", "C-3"]
    assert [verdict["outcome"] for verdict in graded["verdicts"]] == ["UNFINISHED"] * 3
    left = next(one for one in stands[3]["candidates"] if one["candidate"] == "C-2")
    assert (left["clocks"], left["marks"], left["owed"]) == ([], [], [])
    assert "\nentry 3 (line 4) at 0:06: C-2 leaves\n" in feed([CLASS]).out


WRONG = lines(
    at("0:00", "go"),
    at("0:05", "thorw"),
    at("0:06", "hit"),
    {"strike": 2, "by": "G-2", "note": "mistyped"},
    at("0:09", "hit"),
)


def test_what_is_wrong_is_told_at_once_and_may_be_struck(feed: Callable[..., Any], valid: Valid) -> None:
    *stands, graded = documents(feed([WRONG], "--format=json"), valid)
    told = [(stand["entry"], [one["place"]["line"] for one in stand["diagnostics"]]) for stand in stands]
    assert told == [(None, []), (1, []), (None, [3]), (3, []), (4, [])]
    assert [verdict["outcome"] for verdict in graded["verdicts"]] == ["GO"] and graded["diagnostics"] == []
    ran = feed([WRONG])
    assert ran.code == 0 and ran.err.startswith("x.jsonl, line 3, column ")


@pytest.mark.parametrize("log", [LOG, STRUCK, WRONG, CLASS], ids=["plain", "struck", "wrong", "class"])
def test_how_the_bytes_come_changes_nothing(feed: Callable[..., Any], log: bytes) -> None:
    rng = Random("cuts")
    whole = feed([log], "--format=json").out
    for _ in range(5):
        cuts = sorted(rng.randrange(len(log)) for _ in range(8))
        assert feed([log[:cut] for cut in (*cuts, len(log))], "--format=json").out == whole
    assert feed([log[:cut] for cut in range(len(log) + 1)], "--format=json").out == whole


def test_candidates_come_as_they_are_named(feed: Callable[..., Any], valid: Valid) -> None:
    header = {key: value for key, value in HEADER.items() if key != "candidate"}
    entries = [
        at("0:00", "go", candidate="all"),
        at("0:05", "hit", candidate="C-2"),
        at("0:06", "hit", candidate="C-1"),
    ]
    log = b"".join(json.dumps(line).encode() + b"\n" for line in (header, *entries))
    *stands, _ = documents(feed([log], "--format=json"), valid)
    found = [(stand["entry"], [one["candidate"] for one in stand["candidates"]]) for stand in stands]
    assert found == [(2, ["C-2"]), (3, ["C-2", "C-1"])]
    assert "\n  as before: C-2\n" in feed([log]).out
    (refused,) = documents(feed([log[: log.index(b'{"at": "0:05"')]], "--format=json"), valid)
    assert [one["title"] for one in refused["diagnostics"]] == ["no candidate"]


def test_a_table_is_followed_row_by_row(feed: Callable[..., Any]) -> None:
    text = "# session: S-1\n# standard: rope_throw\n# candidate: C-1\n# condition lookouts: 2\nat,mark,note\n"
    text += '0:00.0,go,"two\nlines"\n0:05.0,hit,\n0:06.0,hit,'
    contents = [text.encode()[:cut] for cut in range(1, len(text) + 1)]
    ran = feed([*contents, text.encode() + b"\n"], "--format=json", name="x.csv")
    *stands, graded = map(json.loads, ran.out.splitlines())
    assert [(stand["entry"], stand["diagnostics"]) for stand in stands[-4:]] == [(n, []) for n in (None, 1, 2, 3)]
    assert [verdict["outcome"] for verdict in graded["verdicts"]] == ["GO"]


def test_a_log_that_was_rewritten_is_told_anew(feed: Callable[..., Any], valid: Valid) -> None:
    *stands, graded = documents(feed([LOG, LOG.replace(b"0:05", b"0:04")], "--format=json"), valid)
    assert [stand["anew"] for stand in stands] == [*[False] * 5, True]
    assert graded["verdicts"][0]["outcome"] == "GO"


def test_standard_input_is_read_to_its_end(bench: Any) -> None:
    bench.standard("a.standard")
    ended = LOG + b'{"end": "0:20"}\n{"strike": 4, "by": "G-2", "note": "wrong lane"}\n'
    bench.feed(ended)
    ran = bench.run("grade", "--live", "--standard", "a.standard", "-")
    assert ran.code == 1 and "\nall anew (1 correction), up to the end at 0:20\n" in ran.out
    assert "\nUNFINISHED  candidate C-1" in ran.out


@pytest.mark.parametrize(
    ("logs", "said"),
    [
        (("a.jsonl", "b.jsonl"), "--live follows one log; name one"),
        (("logs",), "is a folder: --live follows one log"),
        (("a.jsonl.gz",), "is packed: --live follows a log while it is written"),
    ],
)
def test_only_one_log_is_followed(bench: Any, logs: tuple[str, ...], said: str) -> None:
    bench.log("logs/x.jsonl")
    ran = bench.run("grade", "--live", *logs)
    assert ran.code == 2 and ran.out == "" and said in ran.said


def test_a_log_that_is_not_there_is_an_error(bench: Any) -> None:
    ran = bench.run("grade", "--live", "gone.jsonl")
    assert ran.code == 2 and "`gone.jsonl` is not there" in ran.said


def test_what_is_half_rewritten_is_not_taken(bench: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    """A file that an editor empties and then fills is never seen empty."""
    path = bench.write("x.jsonl", LOG)
    steps = iter([b"", LOG + b"more", LOG[:20], LOG[:20]])
    monkeypatch.setattr(time, "sleep", lambda _: path.write_bytes(next(steps)))
    contents = growing.growing(str(path))
    assert [next(contents) for _ in range(3)] == [LOG, LOG + b"more", LOG[:20]]


def test_a_growing_file_is_followed_until_it_is_stopped(bench: Any) -> None:
    bench.standard("a.standard")
    path: Path = bench.write("x.jsonl", LOG[: LOG.index(b'{"at": "0:06')]).absolute()
    command = [sys.executable, "-m", "standfast", "grade", "--live", "--standard", "a.standard", str(path)]
    with subprocess.Popen(
        command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, env=with_engine()
    ) as process:
        assert process.stdout is not None
        _read_until(process.stdout, "entry 2 ")
        path.write_bytes(LOG[:-10])
        _read_until(process.stdout, "entry 3 ")
        process.send_signal(signal.SIGINT)
        out, err = process.communicate(timeout=60)
    assert process.returncode == 1 and err == ""
    assert "UNFINISHED  candidate C-1" in out and "entry 4" not in out


def test_a_growing_file_is_followed_to_its_end(bench: Any) -> None:
    bench.standard("a.standard")
    path: Path = bench.write("x.jsonl", LOG).absolute()
    command = [sys.executable, "-m", "standfast", "grade", "--live", "--standard", "a.standard", str(path)]
    with subprocess.Popen(
        command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, env=with_engine()
    ) as process:
        assert process.stdout is not None
        _read_until(process.stdout, "entry 4 ")
        path.write_bytes(LOG + b'{"end": "0:20"}\n')
        out, err = process.communicate(timeout=60)
    assert process.returncode == 0 and err == "" and out.startswith("the end at 0:20\n")


def _read_until(stream: Any, wanted: str) -> None:
    for line in stream:
        if line.startswith(wanted):
            return
    raise AssertionError(f"`{wanted}` never came")
