"""A small standard in three editions, a log under it, and the command line run in this process."""

import io
import json
import sys
from collections.abc import Callable
from importlib import resources
from pathlib import Path
from typing import Any

import pytest
from attrs import frozen
from jsonschema import Draft202012Validator
from referencing import Registry, Resource

from standfast.command.line import main

STANDARD = """\
standard NAME "Rope throw"
    edition "EDITION"
    in force from DATE

conditions
    lookouts at least 2 "Lookouts with nothing else to do"

marks
    go "The starter's signal"
    throw "A throw leaves the hand"
    hit "The line falls within reach"

event rope "Rope throw"
    attempts 1
    start on go
    step throws
        until 2 hits
        within LIMIT throws "too many throws"
        within 90 s

case "two hits in three throws"
    log
        0:00 go
        0:01 throw
        0:02 hit
        0:03 throw
        0:04 throw
        0:05 hit
    gives GO
"""

ENTRIES = (
    ("0:00", "go"),
    ("0:05", "throw"),
    ("0:06", "hit"),
    ("0:10", "throw"),
    ("0:12.5", "throw"),
    ("0:14", "throw"),
    ("0:15", "hit"),
)
"""Four throws: GO where at least four are allowed."""


@frozen
class Ran:
    code: int
    out: str
    err: str

    @property
    def said(self) -> str:
        """What was printed to standard output and to standard error, unfolded."""
        return " ".join(f"{self.out} {self.err}".split())

    @property
    def document(self) -> Any:
        return json.loads(self.out)


@frozen
class Bench:
    """A folder to work in, and the command line."""

    folder: Path
    _capture: pytest.CaptureFixture[str]
    _patch: pytest.MonkeyPatch

    def standard(
        self, file: str, name: str = "rope_throw", edition: str = "1", date: str = "2024-03-01", limit: int = 4
    ) -> Path:
        text = STANDARD.replace("NAME", name).replace("EDITION", edition)
        return self.write(file, text.replace("DATE", date).replace("LIMIT", str(limit)))

    def log(self, file: str, standard: str = "rope_throw", candidate: str = "C-1", **header: object) -> Path:
        first = {"session": "S-1", "standard": standard, "candidate": candidate, "conditions": {"lookouts": 2}}
        lines = [{**first, **header}, *({"at": at, "mark": mark} for at, mark in ENTRIES)]
        return self.write(file, "".join(json.dumps(line) + "\n" for line in lines))

    def write(self, file: str, text: str | bytes) -> Path:
        path = self.folder / file
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(text if isinstance(text, bytes) else text.encode())
        return path

    def feed(self, data: bytes) -> None:
        """Puts bytes on standard input."""
        self._patch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(data)))

    def run(self, *arguments: object) -> Ran:
        try:
            code = main([str(argument) for argument in arguments])
        except SystemExit as mistake:
            assert isinstance(mistake.code, int)
            code = mistake.code
        captured = self._capture.readouterr()
        assert "Traceback" not in captured.err
        return Ran(int(code), captured.out, captured.err)


@pytest.fixture
def bench(tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> Bench:
    monkeypatch.chdir(tmp_path)
    return Bench(Path(), capsys, monkeypatch)


@pytest.fixture
def valid() -> Callable[[str, object], None]:
    """Holds a document against the schema of that name."""

    def validate(name: str, document: object) -> None:
        home = resources.files("standfast.report")
        texts = [file.read_text("utf-8") for file in home.iterdir() if file.name.endswith(".schema.json")]
        schemas = {schema["$id"]: schema for schema in map(json.loads, texts)}
        registry = Registry().with_resources(
            (name, Resource.from_contents(each)) for name, each in schemas.items()
        )
        (schema,) = (each for key, each in schemas.items() if key.split(":")[2] == name)
        Draft202012Validator(schema, registry=registry).validate(document)

    return validate


@pytest.fixture
def codes() -> Callable[[Ran], list[str]]:
    """The diagnostic codes of a JSON document, in order."""
    return lambda ran: [one["code"] for one in ran.document["diagnostics"]]
