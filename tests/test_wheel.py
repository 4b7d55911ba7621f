"""The wheel: built, installed where there is no checkout, and used from there."""

import json
import os
import subprocess
import sys
import sysconfig
import venv
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]
LOG = ROOT / "standards" / "boat_crew_entry" / "logs" / "passed_first_time.jsonl"
DATA = {".standard", ".json", ".jsonl", ".lark", ".md", ".html", ".css"}


def run(*command: str | Path, folder: Path) -> "subprocess.CompletedProcess[str]":
    """Without what would lead back to the checkout."""
    clean = {name: value for name, value in os.environ.items() if not name.startswith("PYTHON")}
    return subprocess.run(list(map(str, command)), cwd=folder, env=clean, capture_output=True, encoding="utf-8")


@pytest.fixture(scope="module")
def python(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A Python that has the wheel, and of what the checks have only the site-packages it needs to run."""
    folder = tmp_path_factory.mktemp("wheel")
    pip = [sys.executable, "-m", "pip", "--disable-pip-version-check"]
    built = run(*pip, "wheel", "--no-deps", "--no-build-isolation", "-w", folder, ROOT, folder=folder)
    assert built.returncode == 0, built.stdout + built.stderr
    (wheel,) = folder.glob("standfast-*.whl")
    venv.create(folder / "env", with_pip=False)
    found = folder / "env" / ("Scripts/python.exe" if os.name == "nt" else "bin/python")
    asked = run(found, "-c", "import sysconfig; print(sysconfig.get_path('purelib'))", folder=folder)
    site = Path(asked.stdout.strip())
    installed = run(*pip, "install", "--no-deps", "--target", site, wheel, folder=folder)
    assert installed.returncode == 0, installed.stdout + installed.stderr
    for name in ("attr", "attrs", "filelock", "jinja2", "lark", "markupsafe"):
        (site / name).symlink_to(Path(sysconfig.get_path("purelib")) / name, target_is_directory=True)
    return found


def test_it_is_not_the_checkout_that_runs(python: Path, tmp_path: Path) -> None:
    where = run(python, "-c", "import standfast; print(standfast.__file__)", folder=tmp_path)
    assert Path(where.stdout.strip()).is_relative_to(python.parent.parent)


def test_help(python: Path, tmp_path: Path) -> None:
    shown = run(python, "-m", "standfast", "--help", folder=tmp_path)
    assert (shown.returncode, shown.stderr) == (0, "")
    assert "grade" in shown.stdout


def test_a_log_is_graded_by_the_standards_that_came_along(python: Path, tmp_path: Path) -> None:
    log = tmp_path / "log.jsonl"
    log.write_bytes(LOG.read_bytes())
    graded = run(python, "-m", "standfast", "grade", "--format", "json", log, folder=tmp_path)
    assert (graded.returncode, graded.stderr) == (0, "")
    (verdict,) = json.loads(graded.stdout)["verdicts"]
    assert (verdict["outcome"], verdict["standard"]["name"]) == ("GO", "boat_crew_entry")


def test_the_standards_and_schemas_are_in_it(python: Path, tmp_path: Path) -> None:
    where = run(python, "-c", "import standfast; print(standfast.__file__)", folder=tmp_path)
    package = Path(where.stdout.strip()).parent
    inside = {path.relative_to(package).as_posix() for path in package.rglob("*") if path.suffix in DATA}
    standards = {
        path.relative_to(ROOT).as_posix() for path in (ROOT / "standards").rglob("*") if path.suffix in DATA
    }
    engine = ROOT / "engine" / "standfast"
    others = {path.relative_to(engine).as_posix() for path in engine.rglob("*") if path.suffix in DATA}
    assert len(standards) > 50
    assert len(others) >= 5
    assert inside == standards | others
