"""The virtual environment the tools run in, `.venv` in the checkout: made once, renewed when a pin changes.

Needs nothing but Python 3.11 and its `venv`. Every version is pinned in `requirements.txt`, what the project needs
to run alone in `requirements-run.txt`.
"""

import os
import subprocess
import sys
import venv
from hashlib import sha256
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
_FOLDER = ROOT / ".venv"
_STAMP = _FOLDER / "stamp"
_PYTHON = _FOLDER / ("Scripts/python.exe" if os.name == "nt" else "bin/python")
_RUN = ROOT / "tools" / "requirements-run.txt"
_ALL = ROOT / "tools" / "requirements.txt"


def ready_to_run() -> Path:
    """The environment's Python, with what the project needs to run; an environment with everything will do."""
    if _stamp() not in (_wanted(_RUN), _wanted(_ALL)):
        _make()
        _pip("-r", str(_RUN))
        _lend_engine()
        _STAMP.write_text(_wanted(_RUN), encoding="ascii")
    return _PYTHON


def ready_to_check() -> Path:
    """The environment's Python, with everything pinned and the project installed from the checkout."""
    if _stamp() != _wanted(_ALL):
        _make()
        _pip("-r", str(_ALL))
        _pip("--no-deps", "--no-build-isolation", "-e", str(ROOT))
        _STAMP.write_text(_wanted(_ALL), encoding="ascii")
    return _PYTHON


def _wanted(requirements: Path) -> str:
    """Tells one set of pins, on one Python, for one way of packaging, from every other."""
    told = sha256(f"{requirements.name} {sys.version} {ROOT}".encode())
    for path in (_RUN, requirements, ROOT / "pyproject.toml"):
        told.update(path.read_bytes())
    return told.hexdigest()


def _stamp() -> str:
    return _STAMP.read_text(encoding="ascii") if _STAMP.exists() and _PYTHON.exists() else ""


def _make() -> None:
    if sys.version_info < (3, 11):  # noqa: UP036 # it is what an older Python comes to first
        sys.exit(f"needs Python 3.11 or newer, and this is {sys.version.split()[0]}; nothing was changed")
    print(f"making {_FOLDER.name} with the pinned versions ...", flush=True)
    venv.create(_FOLDER, clear=True, with_pip=True)


def _lend_engine() -> None:
    """Lets the environment's Python find the package in the checkout, without building anything."""
    asked = [str(_PYTHON), "-c", "import sysconfig; print(sysconfig.get_path('purelib'))"]
    place = subprocess.run(asked, capture_output=True, text=True, check=True).stdout.strip()
    (Path(place) / "checkout.pth").write_text(f"{ROOT / 'engine'}\n", encoding="utf-8")


def _pip(*what: str) -> None:
    command = [str(_PYTHON), "-m", "pip", "install", "--quiet", "--disable-pip-version-check", *what]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True)
    if done.returncode:
        sys.exit(f"{done.stdout}{done.stderr}\nthe pinned versions could not be installed; see above")
