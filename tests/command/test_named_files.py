"""Files and folders named together: each file once, in the order in which they are met."""

import os
from collections.abc import Iterator
from pathlib import Path
from random import Random

import pytest

from standfast.codes import files
from standfast.command.files import LOG_ENDINGS, Named, named

NAMES = ("a", "b.jsonl", "c.csv", "d.jsonl", "e.txt", "f.zip", "z.jsonl.gz")


def found(*places: str) -> list[str]:
    return [one.place for one in named(places, LOG_ENDINGS, files.NO_LOGS) if isinstance(one, Named)]


def plainly(places: list[str]) -> Iterator[str]:
    """The same by all that was met, one by one."""
    met: set[str] = set()
    for place in places:
        for each in _inside(place) if os.path.isdir(place) else (place,):
            if os.path.realpath(each) not in met:
                met.add(os.path.realpath(each))
                yield each


def _inside(folder: str) -> Iterator[str]:
    for name in sorted(os.listdir(folder)):
        path = str(Path(folder, name))
        if os.path.isdir(path):
            yield from () if os.path.islink(path) else _inside(path)
        elif name.endswith(LOG_ENDINGS):
            yield path


def test_folders_and_links_that_overlap(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    twice = 0
    for number in range(150):
        rng = Random(number)
        root = tmp_path / str(number)
        root.mkdir()
        made = [root]
        for _ in range(rng.randrange(4, 16)):
            path = rng.choice([each for each in made if each.is_dir()]) / rng.choice(NAMES)
            if path.exists() or path.is_symlink():
                continue
            if rng.random() < 0.25:
                path.symlink_to(rng.choice(made).resolve())
            elif path.name == "a":
                path.mkdir()
            else:
                path.write_bytes(b"")
            made.append(path)
        places = [
            os.path.relpath(rng.choice(made)) + rng.choice(("", "", "/")) * (rng.random() < 0.1) for _ in range(3)
        ]
        places = [place if os.path.isdir(place) else place.rstrip("/") for place in places]
        expected = list(plainly(places))
        assert found(*places) == expected, (number, places)
        twice += sum(len(list(plainly([place]))) for place in places) > len(expected)
    assert twice > 30


def test_the_places_that_are_met_are_not_each_kept(tmp_path: Path) -> None:
    for number in range(5):
        (tmp_path / f"{number}.jsonl").touch()
    assert len(found(str(tmp_path), str(tmp_path / "3.jsonl"), str(tmp_path))) == 5
    assert found(str(tmp_path / "3.jsonl"), str(tmp_path))[:2] == [str(tmp_path / f"{n}.jsonl") for n in (3, 0)]
