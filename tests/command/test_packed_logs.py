"""Logs as tables of cells, in gzip files and in zip archives, through the command line."""

import gzip
import json
import tracemalloc
import zlib
from collections.abc import Callable
from hashlib import sha256
from io import BytesIO
from pathlib import Path
from random import Random
from typing import Any
from zipfile import ZIP_BZIP2, ZIP_DEFLATED, ZIP_STORED, ZipFile, ZipInfo

import pytest

from standfast.command import archives

Codes = Callable[[Any], list[str]]
GRADE = ("grade", "--format", "json", "--standard", "a.standard")


@pytest.fixture
def log(bench: Any) -> bytes:
    bench.standard("a.standard")
    data: bytes = bench.log("x.jsonl").read_bytes()
    Path("x.jsonl").unlink()
    return data


def as_table(log: bytes) -> bytes:
    """The log of the bench in cells."""
    header, *entries = (json.loads(line) for line in log.decode().splitlines())
    lines = [f"# {key}: {value}" for key, value in header.items() if isinstance(value, str)]
    lines += [f"# condition {name}: {value}" for name, value in header["conditions"].items()]
    lines.append("at;mark")
    lines += [f"{entry['at']};{entry['mark']}" for entry in entries if "mark" in entry]
    lines += [f"{entry['end']};end" for entry in entries if "end" in entry]
    return "\r\n".join([*lines, ""]).encode()


def packed(data: bytes) -> bytes:
    return gzip.compress(data, mtime=0)


def zipped(**members: bytes) -> bytes:
    made = BytesIO()
    with ZipFile(made, "w", ZIP_DEFLATED) as archive:
        for name, data in members.items():
            info = ZipInfo(name.replace("__", ".").replace("_in_", "/"))  # of a date that is always the same
            archive.writestr(info, data, ZIP_DEFLATED)
    return made.getvalue()


def test_a_table_gives_the_verdict_of_the_same_log_in_json(bench: Any, log: bytes) -> None:
    (by_lines,) = bench.run(*GRADE, bench.write("a.jsonl", log)).document["verdicts"]
    (by_cells,) = bench.run(*GRADE, bench.write("a.csv", as_table(log))).document["verdicts"]
    for verdict in (by_lines, by_cells):
        for key in ("log", "log_digest"):
            del verdict[key]
    as_text = json.dumps(by_cells)
    assert by_cells["outcome"] == "GO" and '"line": 9' not in as_text
    assert [event["outcome"] for event in by_cells["events"]] == [event["outcome"] for event in by_lines["events"]]
    assert by_cells["events"][0]["attempts"][0]["figures"] == by_lines["events"][0]["attempts"][0]["figures"]


def test_packed_logs_give_the_verdict_and_digest_of_the_log_itself(bench: Any, log: bytes) -> None:
    bench.write("one/a.jsonl.gz", packed(log))
    bench.write("two/a.csv.gz", packed(as_table(log))[:-8] + packed(as_table(log))[-8:])
    bench.write("three/logs.zip", zipped(b__jsonl=log, day_in_a__csv=as_table(log), readme__txt=b"no log"))
    found = bench.run(*GRADE, "one", "two", "three").document["verdicts"]
    table, lines = sha256(as_table(log)).hexdigest(), sha256(log).hexdigest()
    assert [(each["log"], each["log_digest"]) for each in found] == [
        ("one/a.jsonl.gz", lines),
        ("two/a.csv.gz", table),
        ("three/logs.zip: b.jsonl", lines),
        ("three/logs.zip: day/a.csv", table),
    ]
    assert {each["outcome"] for each in found} == {"GO"}
    bench.feed(packed(log))
    assert bench.run(*GRADE, "-").document["verdicts"][0]["log_digest"] == lines


def test_a_bad_log_in_an_archive_is_named_and_the_others_are_graded(bench: Any, log: bytes, codes: Codes) -> None:
    data = zipped(
        a__jsonl=log.replace(b'"0:05"', b'"0:5"'), b__jsonl=log, c__jsonl=b"\0", d__jsonl__gz=packed(log)
    )
    ran = bench.run(*GRADE, bench.write("logs.zip", data))
    assert codes(ran) == ["L430", "F506", "F522"]
    assert ran.document["diagnostics"][0]["place"]["file"] == "logs.zip: a.jsonl"
    assert ran.document["not_graded"] == ["logs.zip: a.jsonl", "logs.zip: c.jsonl"]
    assert len(ran.document["verdicts"]) == 2 and ran.code == 2


@pytest.mark.parametrize(
    ("name", "data", "code", "why"),
    [
        ("a.zip", zipped(readme__txt=b""), "F532", "no log in the archive `a.zip`"),
        ("a.zip", zipped(), "F532", "no log in the archive `a.zip`"),
        ("a.zip", zipped(a__jsonl=b"{}" * 99)[:-30], "F530", "`a.zip` cannot be unpacked: it is damaged"),
        ("a.jsonl.gz", packed(b"{}" * 99)[:-9], "F530", "it ends in the middle"),
        ("a.jsonl.gz", b"\x1f\x8b\x07" + b"x" * 99, "F530", "`a.jsonl.gz` cannot be unpacked: it is damaged"),
        ("a.jsonl.gz", packed(b"{}")[:-8] + bytes(8), "F530", "it is damaged"),
        ("a.jsonl.gz", packed(packed(b"{}")), "F530", "it is packed twice; unpack the outer one first"),
        ("a.zip", zipped(a__zip=zipped(a__jsonl=b"{}")), "F530", "`a.zip: a.zip` cannot be unpacked: it is"),
    ],
    ids=["no logs", "nothing", "cut zip", "cut gzip", "no gzip", "wrong sum", "packed twice", "zip in a zip"],
)  # fmt: skip
def test_what_cannot_be_unpacked(
    bench: Any, log: bytes, codes: Codes, name: str, data: bytes, code: str, why: str
) -> None:
    ran = bench.run(*GRADE, bench.write(name, data), bench.write("good.jsonl", log))
    assert codes(ran) == [code] and why in ran.document["diagnostics"][0]["message"]
    assert ran.document["diagnostics"][0]["help"]
    assert len(ran.document["verdicts"]) == 1 and ran.code == 2


def test_members_that_are_locked_or_packed_in_an_unusual_way(bench: Any, log: bytes) -> None:
    made = BytesIO()
    with ZipFile(made, "w") as archive:
        archive.writestr("a.jsonl", log, compress_type=ZIP_BZIP2)
        archive.writestr("b.jsonl", log, compress_type=ZIP_STORED)
        archive.writestr("__MACOSX/._b.jsonl", b"\0\5")
        locked = ZipInfo("c.jsonl")
        archive.writestr(locked, log)
        locked.flag_bits |= 1
    ran = bench.run(*GRADE, bench.write("a.zip", made.getvalue()))
    assert [one["message"] for one in ran.document["diagnostics"]] == [
        "`a.zip: a.jsonl` cannot be unpacked: it is packed in an unusual way",
        "`a.zip: c.jsonl` cannot be unpacked: it is locked with a password",
    ]
    assert [each["log"] for each in ran.document["verdicts"]] == ["a.zip: b.jsonl"]


def test_what_unpacks_to_too_much_is_an_error_and_not_the_end(
    bench: Any, log: bytes, codes: Codes, monkeypatch: pytest.MonkeyPatch
) -> None:
    packer = zlib.compressobj(wbits=31)
    bomb = b"".join([*(packer.compress(b" " * 1_000_000) for _ in range(300)), packer.flush()])
    bench.write("bomb.jsonl.gz", bomb)
    bench.write("bomb.zip", zipped(a__jsonl=b" " * 65_000_000, b__jsonl=log))
    tracemalloc.start()
    ran = bench.run(*GRADE, "bomb.jsonl.gz", "bomb.zip")
    _, most = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    assert codes(ran) == ["F531", "F531"] and len(ran.document["verdicts"]) == 1
    assert ran.document["diagnostics"][0]["message"] == "`bomb.jsonl.gz` is more than 64 MB once unpacked"
    assert most < 300_000_000
    monkeypatch.setattr(archives, "LARGEST_ARCHIVE", 2 * len(log))
    ran = bench.run(*GRADE, bench.write("many.zip", zipped(**{f"{n}__jsonl": log for n in "abcdef"})))
    assert (codes(ran)[-1], len(ran.document["verdicts"])) == ("F531", 2)


def test_damaged_archives_never_break_the_command(bench: Any, log: bytes) -> None:
    whole = (zipped(a__jsonl=log, b__csv=as_table(log)), packed(log))
    rng = Random("archives")
    ended = set()
    for number in range(300):
        data = bytearray(whole[number % 2])
        for _ in range(rng.randint(1, 4)):
            at = rng.randrange(4, len(data))
            data[at : at + rng.randrange(3)] = rng.randbytes(rng.randrange(3))
        ran = bench.run(*GRADE, bench.write("a.zip", bytes(data)))
        assert ran.err == "" and (ran.code == 2) == any(
            one["severity"] == "error" for one in ran.document["diagnostics"]
        )
        ended |= {one["code"] for one in ran.document["diagnostics"]}
    assert "F530" in ended


def test_a_name_that_would_do_harm_does_none_on_a_terminal(bench: Any, log: bytes) -> None:
    for name in ("<script>alert(1)</script>", "=cmd()", "C\u200f-1", "\u05d0\u05d1\u200e"):
        data = log.replace(b'"C-1"', json.dumps(name, ensure_ascii=False).encode())
        path = bench.write("a.zip", zipped(**{"a\u202e__jsonl": data}))
        ran = bench.run("grade", "--standard", "a.standard", path)
        assert ran.code == 0 and ran.out.startswith("GO  candidate")
        assert not set("\u202e\u200f\u200e") & set(ran.out)


def test_records_of_tables_and_packed_logs_are_graded_again(bench: Any, log: bytes) -> None:
    bench.write("a.csv", as_table(log))
    bench.write("b.csv.gz", packed(as_table(log)))
    bench.write("c.zip", zipped(a__csv=as_table(log), b__jsonl=log))
    assert bench.run(*GRADE, "--keep", "kept", "a.csv", "b.csv.gz", "c.zip").code == 1  # graded before, a doubt
    ran = bench.run("recheck", "--format", "json", "kept")
    assert ran.code == 0 and ran.document["diagnostics"] == []
    files = [json.loads(line)["log"]["file"] for line in Path("kept/register.records").read_text().splitlines()]
    assert files == ["../a.csv", None, None, None]
