"""The page on records: its commands, one after the other in one folder, print what it says and end as it says.

A block of `file NAME` is written; `change NAME` has two lines, what is put in the place of the first, once, being
the second; `console CODE` is a command with what it prints, standard output after standard error. A line `...`
stands for any lines. A digest in a block stands for any of its length: it changes with the version.
"""

import re
import shlex
from pathlib import Path

import pytest

from standfast.command.line import main

_HOME = Path(__file__).resolve().parents[2] / "standards"
_PAGE = (_HOME / "records.md").read_text(encoding="utf-8")
_BLOCKS: list[tuple[str, str, str]] = re.findall(r"^```(\w+) ([^\n]+)\n(.*?)^```$", _PAGE, re.M | re.S)


def undigested(text: str) -> str:
    return re.sub(r"\b[0-9a-f]{12}(?:[0-9a-f]{52})?\b", lambda found: "#" * len(found[0]), text)


def pattern(expected: str) -> str:
    lines = [r"(?:[^\n]*\n)*?" if line == "..." else re.escape(line) + "\n" for line in expected.splitlines()]
    return "".join(lines)


def test_the_page_has_its_examples() -> None:
    kinds = [kind for kind, _, _ in _BLOCKS]
    assert kinds.count("console") >= 7 and kinds.count("file") >= 3 and kinds.count("change") >= 2
    assert set(kinds) == {"file", "change", "console"} and _PAGE.count("\n```") == 2 * len(_BLOCKS)
    verbs = {text.split()[2] for kind, _, text in _BLOCKS if kind == "console"}
    assert verbs == {"grade", "register", "ruling", "recheck", "agree"}


def test_the_commands_print_what_the_page_says(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    for kind, what, text in _BLOCKS:
        if kind == "file":
            Path(what).write_text(text, encoding="utf-8")
        elif kind == "change":
            old, new = text.splitlines()
            before = Path(what).read_text(encoding="utf-8")
            assert before.count(old) == 1
            Path(what).write_text(before.replace(old, new), encoding="utf-8")
        else:
            command, _, expected = text.partition("\n")
            code = main(shlex.split(command.removeprefix("$ standfast ")))
            out = capsys.readouterr()
            said = undigested(out.err + out.out)
            assert re.fullmatch(pattern(undigested(expected)), said), f"{command}\n{said}"
            assert code == int(what), command


def test_the_readme_names_the_page() -> None:
    assert "(standards/records.md)" in (_HOME.parent / "README.md").read_text(encoding="utf-8")
