"""What a command loads, exactly: each in a Python of its own, as somebody starts it."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

import standfast
from standfast.command.cache import VARIABLE
from standfast.command.overview import VERBS

ENGINE = Path(standfast.__file__).parent.parent
BOAT = ENGINE.parent / "standards" / "boat_crew_entry"
LOG = BOAT / "logs" / "passed_first_time.jsonl"
_TELL = """\
import sys
from standfast.__main__ import main
try:
    code = main()
except SystemExit as ended:
    code = ended.code
sys.stderr.write("\\n".join(sys.modules))
sys.exit(code)
"""
SLOW = {"attr", "attrs", "jinja2", "lark", "markupsafe", "filelock"}
"""The packages that are installed beside it: each takes as long to load as several commands."""
RARE = {"inspect", "sqlite3", "zipfile", "gzip", "difflib", "multiprocessing"}
if sys.version_info[:2] == (3, 11):  # later ones may load these for themselves
    RARE |= {"typing", "pathlib", "shutil", "calendar"}


def loaded(*command: object, code: int = 0, cache: str = "off") -> set[str]:
    """The modules, ours by their names in the package."""
    environment = {**os.environ, "PYTHONPATH": str(ENGINE), VARIABLE: cache}
    ran = subprocess.run(
        [sys.executable, "-c", _TELL, *map(str, command)], env=environment, capture_output=True, encoding="utf-8"
    )
    assert ran.returncode == code and ran.stdout, ran.stderr
    return {name.removeprefix("standfast.") for name in ran.stderr.splitlines()}


def ours(modules: set[str]) -> set[str]:
    return {
        name for name in modules if (ENGINE / "standfast" / name.replace(".", "/")).with_suffix(".py").is_file()
    }


@pytest.mark.parametrize("question", ["--version", "--help", "-h"])
def test_a_question_about_the_command_loads_next_to_nothing(question: str) -> None:
    modules = loaded(question)
    assert ours(modules) == {"__main__", "command.line", "command.overview"}
    assert modules & (SLOW | RARE | {"argparse", "re", "enum", "json"}) == set()


def test_the_help_of_grade_loads_no_more_than_its_options(capsys: pytest.CaptureFixture[str]) -> None:
    modules = loaded("grade", "--help")
    assert modules & (SLOW | RARE) == set()
    assert not {name.split(".")[0] for name in ours(modules)} & {"model", "machine", "language", "log", "report"}


@pytest.mark.parametrize("places", [(), ("--standard", BOAT)])
def test_a_log_is_graded_with_nothing_that_reads_standards(tmp_path: Path, places: tuple[object, ...]) -> None:
    cache = str(tmp_path / "kept")
    assert "lark" in loaded("grade", *places, LOG, cache=cache)
    modules = loaded("grade", *places, LOG, cache=cache)
    assert modules & (SLOW | RARE) == set()
    reading = {
        name for name in ours(modules) if name.startswith(("language.", "definition.", "proofing.", "live."))
    }
    assert reading == {"language.syntax_choices"}
    assert modules.isdisjoint(
        {"model.resolve", "doubt", "command.keep", "command.live", "record.entry", "log.sheet"}
    )


def test_the_verbs_that_need_a_package_load_it_alone(tmp_path: Path) -> None:
    cache = str(tmp_path / "kept")
    page = tmp_path / "page.html"
    rules = BOAT / "boat_crew_entry_2.standard"
    assert "lark" in loaded("proof", rules, cache=cache)
    assert "lark" not in loaded("proof", rules, cache=cache)
    assert {"jinja2", "markupsafe"} <= loaded("grade", "--page", page, LOG, cache=cache)
    assert "json" in loaded("grade", "--format", "json", LOG, cache=cache)


@pytest.mark.parametrize("verb", VERBS)
def test_no_verb_loads_another_for_its_help(verb: str) -> None:
    others = {f"command.{name}" for name in VERBS} - {f"command.{verb}"}
    assert loaded(verb, "--help").isdisjoint(others | {"attrs", "attr"})
