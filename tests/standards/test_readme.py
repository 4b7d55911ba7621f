"""The README's example is real: its standard, log and verdict are what the engine makes of them."""

import re
from pathlib import Path

import pytest

from standfast.command.line import main

README = Path(__file__).parents[2] / "README.md"


def block(kind: str) -> str:
    found = re.findall(rf"^```{kind}\n(.*?)^```$", README.read_text(encoding="utf-8"), re.MULTILINE | re.DOTALL)
    assert len(found) == 1, kind
    return str(found[0])


def test_the_verdict_shown_is_the_one_given(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    rules, log = Path("ladder_check.standard"), Path("tower.jsonl")
    rules.write_text(block("standard"), encoding="utf-8")
    log.write_text(block("jsonl"), encoding="utf-8")
    assert main(["grade", "--standard", str(rules), str(log)]) == 0
    out = capsys.readouterr()
    assert out.out == block("verdict")
    assert out.err == ""


def test_every_verb_it_names_is_there(capsys: pytest.CaptureFixture[str]) -> None:
    named = set(re.findall(r"`standfast (\w+) ", README.read_text(encoding="utf-8")))
    assert main(["--help"]) == 0
    told = capsys.readouterr().out
    assert {"grade", "proof"} <= named
    assert all(re.search(rf"^    {verb} ", told, re.MULTILINE) for verb in named), named
