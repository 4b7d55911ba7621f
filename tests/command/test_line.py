"""How the command line ends whatever happens. `bench` is the folder and the command line of `conftest.py`."""

import io
import os
import re
import shlex
import subprocess
import sys
import tomllib
from pathlib import Path
from typing import Any

import pytest

import standfast
import standfast.__main__
from standfast.codes import CODES, cases, files
from standfast.command import grade, proof
from standfast.command.exits import Exit
from standfast.command.overview import VERBS

ENGINE = Path(standfast.__file__).parent.parent


def run(*arguments: str, **options: Any) -> subprocess.CompletedProcess[bytes]:
    environment = {**os.environ, "PYTHONPATH": str(ENGINE), **options.pop("environment", {})}
    command = [sys.executable, "-m", "standfast", *arguments]
    return subprocess.run(command, env=environment, capture_output=True, timeout=60, **options)


def test_the_verbs_are_listed_with_an_example_each(bench: Any) -> None:
    ran = bench.run("--help")
    assert ran.code == 0 and "grade     replay session logs" in ran.out and "proof     read standards" in ran.out
    for verb in ("grade", "proof"):
        assert f"example: standfast {verb} " in bench.run(verb, "--help").out


def test_the_help_is_the_same_however_it_is_asked_for(bench: Any) -> None:
    ran = bench.run("--help")
    assert all(len(line) < 80 for line in ran.out.splitlines()) and ran.err == ""
    for asked in (("-h",), ("--help", "--version"), ("--help", "grade"), ("-h", "nothing")):
        assert bench.run(*asked) == ran
    assert bench.run("--version", "--help") == bench.run("--version")
    told = re.findall(r"^    ([a-z]+) ", ran.out, re.MULTILINE)
    assert told == sorted(told) == [verb for verb in VERBS if bench.run(verb, "--help").out]


def test_the_version_is_the_packages(bench: Any) -> None:
    project = tomllib.loads((ENGINE.parent / "pyproject.toml").read_text("utf-8"))["project"]
    assert bench.run("--version").out == f"standfast {project['version']}\n"


@pytest.mark.parametrize(
    "arguments", [(), ("mark",), ("grade",), ("grade", "--form", "json", "x"), ("proof", "-x")]
)
def test_a_mistake_in_the_command_ends_with_2(bench: Any, arguments: tuple[str, ...]) -> None:
    ran = bench.run(*arguments)
    assert ran.code == 2 and ran.err.startswith("usage: standfast")


def test_an_unexpected_fault_is_one_message_without_its_insides(
    bench: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fail(chosen: object) -> None:
        raise ZeroDivisionError("insides")

    monkeypatch.setattr(proof, "run", fail)
    ran = bench.run("proof", "x")
    assert ran.code == 2 and ran.out == ""
    assert ran.err.startswith("standfast: this is a fault of standfast") and "insides" not in ran.err


def test_the_insides_are_shown_when_asked_for(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    def fail(chosen: object) -> None:
        raise ZeroDivisionError("insides")

    from standfast.command.line import main

    monkeypatch.setattr(proof, "run", fail)
    assert main(["proof", "x", "--trace"]) == 2
    assert "ZeroDivisionError: insides" in capsys.readouterr().err


def test_stopping_it_ends_with_a_line(bench: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    def stop(chosen: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(grade, "run", stop)
    ran = bench.run("grade", "x")
    assert (ran.code, ran.out, ran.err) == (130, "", "standfast: stopped\n")


def test_as_a_module(bench: Any) -> None:
    bench.standard("a.standard")
    bench.log("x.jsonl", candidate="Å")
    plain = run("grade", "--standard", "a.standard", "x.jsonl", environment={"PYTHONIOENCODING": "ascii"})
    assert plain.returncode == 0 and plain.stdout.startswith(b"GO  candidate \\xc5, session S-1\n")
    document = run(
        "grade", "--format=json", "--standard=a.standard", "x.jsonl", environment={"PYTHONIOENCODING": "ascii"}
    )
    assert '"candidate": "Å"' in document.stdout.decode("utf-8")


def test_a_closed_pipe_ends_quietly(bench: Any) -> None:
    bench.standard("a.standard")
    bench.log("x.jsonl")
    reading, writing = os.pipe()
    os.close(reading)
    command = [sys.executable, "-m", "standfast", "grade", "--standard", "a.standard", "x.jsonl"]
    ran = subprocess.run(
        command,
        env={**os.environ, "PYTHONPATH": str(ENGINE)},
        stdout=writing,
        stderr=subprocess.PIPE,
        timeout=60,
        check=False,
    )
    os.close(writing)
    assert (ran.returncode, ran.stderr) == (141, b"")


def test_output_that_cannot_be_written_is_said(bench: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    def fail(chosen: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(grade, "run", fail)
    ran = bench.run("grade", "x")
    assert (ran.code, ran.err) == (2, "standfast: the output cannot be written: no space left on device\n")


def shell(folder: Path, line: str) -> subprocess.CompletedProcess[str]:
    """A line for the shell, in which `standfast` is this one."""
    environment = {**os.environ, "PYTHONPATH": str(ENGINE)}
    line = line.replace("standfast ", f"{shlex.quote(sys.executable)} -m standfast ")
    return subprocess.run(
        ["sh", "-c", line], cwd=folder, env=environment, capture_output=True, encoding="utf-8", timeout=60
    )


def test_closed_streams(bench: Any, tmp_path: Path) -> None:
    bench.standard("a.standard")
    no_output = "standfast: the output cannot be written: it is closed\n"
    for verb in ("proof", "tidy", "grade --standard a.standard"):
        ran = shell(tmp_path, f"standfast {verb} a.standard >&-")
        assert (ran.returncode, ran.stderr) == (2, no_output)
    ran = shell(tmp_path, "standfast grade nope 2>&-")
    assert (ran.returncode, ran.stdout, ran.stderr) == (2, "", "")
    assert shell(tmp_path, "standfast proof nope >&- 2>&-").returncode == 2


def test_messages_that_cannot_be_written_end_with_2(bench: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    class Full(io.StringIO):
        def write(self, text: str) -> int:
            raise OSError(28, "No space left on device")

    monkeypatch.setattr(sys, "stderr", Full())
    assert bench.run("grade", "nope").code == 2


@pytest.mark.parametrize(("package", "verb"), [("jinja2", "brief"), ("lark", "proof")])
def test_a_package_that_is_not_installed_is_named(bench: Any, tmp_path: Path, package: str, verb: str) -> None:
    bench.standard("a.standard")
    # A package of that name that cannot be loaded stands before the one that is there.
    bench.write(f"{package}/__init__.py", f"raise ModuleNotFoundError('no {package}', name='{package}')\n")
    places = os.pathsep.join([str(tmp_path), str(ENGINE)])
    ran = run(verb, "a.standard", environment={"PYTHONPATH": places})
    told = ran.stderr.decode()
    assert ran.returncode == 2 and ran.stdout == b"" and "Traceback" not in told
    assert told.startswith(f"standfast: the package `{package}` is not installed for this Python\n  help: ")


def test_a_module_of_its_own_that_is_missing_is_a_fault_that_is_shown(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "standfast.command.line", None)
    with pytest.raises(ModuleNotFoundError):
        standfast.__main__.main()


def test_stopping_it_while_it_is_loaded_ends_with_a_line(bench: Any, tmp_path: Path) -> None:
    bench.write("jinja2/__init__.py", "raise KeyboardInterrupt\n")
    ran = run("brief", "a.standard", environment={"PYTHONPATH": os.pathsep.join([str(tmp_path), str(ENGINE)])})
    assert (ran.returncode, ran.stderr) == (Exit.INTERRUPTED, b"standfast: stopped\n")


@pytest.mark.parametrize("module", [cases, files])
def test_the_codes_are_in_the_list_and_unlike(module: Any) -> None:
    here = [code for code in vars(module).values() if isinstance(code, type(files.MISSING))]
    assert len({code.number for code in here}) == len(here) > 5
    assert all(CODES[code.number] is code for code in here)
    assert len({code.title for code in here}) == len(here)
