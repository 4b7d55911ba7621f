"""Pages of worked commands: these, one after the other in one folder, print what the page says and end as it says.

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
_PAGES = {
    "records.md": {"grade", "register", "ruling", "recheck", "agree"},
    "revisions.md": {"compare"},
}
"""Each page with the verbs it shows."""


def blocks(page: str) -> list[tuple[str, str, str]]:
    text = (_HOME / page).read_text(encoding="utf-8")
    return re.findall(r"^```(\w+) ([^\n]+)\n(.*?)^```$", text, re.M | re.S)


def undigested(text: str) -> str:
    return re.sub(r"\b[0-9a-f]{12}(?:[0-9a-f]{52})?\b", lambda found: "#" * len(found[0]), text)


def pattern(expected: str) -> str:
    lines = [r"(?:[^\n]*\n)*?" if line == "..." else re.escape(line) + "\n" for line in expected.splitlines()]
    return "".join(lines)


@pytest.mark.parametrize(("page", "verbs"), _PAGES.items())
def test_the_page_has_its_examples(page: str, verbs: set[str]) -> None:
    kinds = [kind for kind, _, _ in blocks(page)]
    assert kinds.count("console") >= 2 and kinds.count("file") >= 3
    assert set(kinds) <= {"file", "change", "console"}
    assert {text.split()[2] for kind, _, text in blocks(page) if kind == "console"} == verbs


@pytest.mark.parametrize("page", _PAGES)
def test_the_commands_print_what_the_page_says(
    page: str, tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    for kind, what, text in blocks(page):
        if kind == "file":
            Path(what).parent.mkdir(exist_ok=True)
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


@pytest.mark.parametrize("page", _PAGES)
def test_the_readme_names_the_page(page: str) -> None:
    assert f"(standards/{page})" in (_HOME.parent / "README.md").read_text(encoding="utf-8")
