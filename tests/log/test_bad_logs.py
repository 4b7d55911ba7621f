"""Each bad log of `bad_logs.txt` has exactly the findings that stand in it."""

from pathlib import Path

import pytest
from attrs import frozen

from standfast.log.reader import read_log

HEADER = '{"session":"S-1","standard":"check","candidate":"C-1"}'


@frozen
class Chunk:
    title: str
    log: str
    expected: tuple[tuple[int, int, str, str], ...]


def chunks() -> list[Chunk]:
    text = (Path(__file__).parent / "bad_logs.txt").read_text(encoding="utf-8")
    found = []
    for part in text.split("\n== ")[1:]:
        title, _, body = part.partition("\n")
        lines: list[str] = []
        expected = []
        for line in body.removesuffix("\n").split("\n"):
            if line.startswith("<< "):
                column, code, message = line[3:].split(" ", 2)
                expected.append((len(lines), int(column), code, message))
            else:
                lines.append(HEADER if line == "HEADER" else line)
        found.append(Chunk(title, "\n".join(lines) + "\n", tuple(expected)))
    return found


CHUNKS = chunks()


def test_every_chunk_is_found() -> None:
    assert len(CHUNKS) == 33
    assert all(chunk.expected for chunk in CHUNKS)


@pytest.mark.parametrize("chunk", CHUNKS, ids=lambda chunk: chunk.title)
def test_findings(chunk: Chunk) -> None:
    raw, diagnostics = read_log("bad.jsonl", chunk.log.encode())
    said = [(d.span.line, d.span.column, d.code.number, d.message) for d in diagnostics if d.span is not None]
    assert sorted(said) == sorted(chunk.expected)
    assert raw is None
    assert all(d.help for d in diagnostics)
