"""Files that are no logs: each gets its finding, quickly, and the rest of the file is still read."""

import time
import tracemalloc

import pytest

from standfast.diagnostic import Diagnostic
from standfast.log.reader import read_log

HEADER = b'{"session":"S-1","standard":"check","candidate":"C-1"}\n'
BACKWARDS = b'{"at":"0:05","mark":"go"}\n{"at":"0:04","mark":"go"}\n'


def findings(data: bytes) -> list[tuple[int, int, str]]:
    raw, diagnostics = read_log("broken.jsonl", data)
    assert raw is None
    return [(*place(diagnostic), diagnostic.code.number) for diagnostic in diagnostics]


def place(diagnostic: Diagnostic) -> tuple[int, int]:
    assert diagnostic.span is not None
    return diagnostic.span.line, diagnostic.span.column


@pytest.mark.parametrize("data", [b"", b"\n", b"\xef\xbb\xbf", b" \r\n\t\r\n"])
def test_empty(data: bytes) -> None:
    assert findings(data) == [(1, 1, "L401")]


def test_not_utf8() -> None:
    line = '{"at":"0:00","mark":"go","note":"grün"}\n'
    assert findings(HEADER + line.encode("latin-1") + BACKWARDS) == [(2, 36, "L402"), (4, 8, "L442")]
    _, diagnostics = read_log("broken.jsonl", HEADER + "é é".encode() + b"\xff\n")
    assert (place(diagnostics[0]), diagnostics[0].message) == (
        (2, 4),
        "byte 6 of the line is `0xFF`, which is not UTF-8",
    )
    assert findings((HEADER.decode() + line).encode("utf-16"))[0] == (1, 1, "L402")


@pytest.mark.parametrize("stop", range(1, len('{"at":"0:05.4","mark":"gé"}'.encode())))
def test_a_line_cut_off_anywhere(stop: int) -> None:
    whole = '{"at":"0:05.4","mark":"gé"}'.encode()
    assert findings(HEADER + whole[:stop]) == [(2, 1, "L405")]


def test_a_broken_last_line_that_is_not_cut_off() -> None:
    assert findings(HEADER + b'{"at":"0:05.4","mark":go}') == [(2, 23, "L407")]


def test_a_line_of_the_greatest_length_and_one_beyond() -> None:
    entry = b'{"at":"0:00","mark":"go","note":"%s"}'
    room = 64 * 1024 - len(entry % b"")
    raw, diagnostics = read_log("long.jsonl", HEADER + entry % (b"n" * room) + b"\r\n")
    assert raw is not None
    assert diagnostics == ()
    assert findings(HEADER + entry % (b"n" * (room + 1)) + b"\n" + BACKWARDS) == [(2, 1, "L403"), (4, 8, "L442")]


def test_a_line_of_200_megabytes_is_not_read() -> None:
    data = HEADER + b"[" * 200_000_000 + b"\n" + BACKWARDS
    tracemalloc.start()
    began = time.monotonic()
    found = findings(data)
    took = time.monotonic() - began
    _, most = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    assert found == [(2, 1, "L403"), (4, 8, "L442")]
    assert took < 5
    assert most < 10_000_000


@pytest.mark.parametrize("opening", [b"[", b'{"at":', b'{"a":['])
def test_deep_nesting(opening: bytes) -> None:
    assert findings(HEADER + opening * 10_000 + b"\n") == [(2, 1, "L410")]
    closing = {b"[": b"]", b'{"at":': b"}", b'{"a":[': b"]}"}[opening]
    assert findings(HEADER + opening * 500 + b"1" + closing * 500 + b"\n")[0] == (2, 1, "L410")


def test_too_many_lines() -> None:
    assert findings(b"\n" * 1_000_001) == [(1, 1, "L404")]


def test_numbers_of_many_digits() -> None:
    digits = b"9" * 60_000
    assert findings(HEADER + b'{"at":%s,"mark":"go"}\n' % digits) == [(2, 7, "L431")]
    assert findings(HEADER + b'{"at":"%s:00","mark":"go"}\n' % digits) == [(2, 8, "L438")]
    raw, _ = read_log("long.jsonl", HEADER + b'{"at":"0:00","mark":"go","value":%s}\n' % digits)
    assert raw is not None
    assert raw.entries[0].value == digits.decode()


def test_the_first_fifty_are_listed_and_the_others_counted() -> None:
    bad = b'{"at":"x","mark":"go"}\n'
    _, diagnostics = read_log("bad.jsonl", HEADER + bad * 50)
    assert [d.code.number for d in diagnostics] == ["L430"] * 50
    _, diagnostics = read_log("bad.jsonl", HEADER + bad * 173)
    assert [d.code.number for d in diagnostics] == ["L430"] * 50 + ["L499"]
    assert diagnostics[-1].message == "123 more problems in this log are not listed"
    assert place(diagnostics[-1])[0] == 52


def test_a_help_line_names_what_is_near() -> None:
    _, diagnostics = read_log(
        "bad.jsonl",
        b'{"session":"S","standard":"check","candidates":["C-14","C-15"]}\n{"at":"0:00","mrak":"go","candidate":"C14"}\n',
    )
    assert [d.help for d in diagnostics if "if that is meant" in d.help] == [
        'write `"mark"`, if that is meant',
        "write `C-14`, if that is meant",
    ]
