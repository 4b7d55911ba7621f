"""The standards that are shipped in several editions, and the archives of invented logs made for them."""

from collections.abc import Callable
from itertools import pairwise
from pathlib import Path

import pytest
from demo_archive import logs_like, patterns_of

from standfast.difference.archive import impact
from standfast.difference.clauses import clause_changes
from standfast.difference.impact import Impact
from standfast.log.reader import read_log
from standfast.log.writer import log_bytes
from standfast.model.standard import Standard
from standfast.verdict import Outcome

ROOT = Path(__file__).resolve().parents[2]
FOLDERS = [home for home in sorted((ROOT / "standards").iterdir()) if len(list(home.glob("*.standard"))) > 1]


def test_there_are_three_standards_of_several_editions() -> None:
    assert len(FOLDERS) >= 3


@pytest.mark.parametrize("home", FOLDERS, ids=lambda home: home.name)
def test_a_later_edition_says_why_it_was_revised(load: Callable[[Path], Standard], home: Path) -> None:
    files = sorted(home.glob("*.standard"))
    for one, other in pairwise(files):
        old, new = load(one), load(other)
        assert old.name == new.name
        assert old.in_force < new.in_force
        assert clause_changes(old, new)
        assert other.read_text(encoding="utf-8").startswith(f"# Revised in {new.in_force.year}")


def archive(standard: Standard, home: Path, count: int, seed: int) -> list[bytes]:
    patterns = list(patterns_of(standard, home / "logs"))
    return [log_bytes(log) for log in logs_like(patterns, standard, count, seed)]


@pytest.mark.parametrize("home", FOLDERS, ids=lambda home: home.name)
def test_an_archive_of_the_oldest_edition_shows_whom_the_newest_changes(
    load: Callable[[Path], Standard], home: Path
) -> None:
    files = sorted(home.glob("*.standard"))
    old, new = load(files[0]), load(files[-1])
    made = archive(old, home, 60, seed=3)
    assert made == archive(old, home, 60, seed=3)
    assert made != archive(old, home, 60, seed=4)
    found = weighed(old, new, made)
    assert found.logs == 60
    assert {Outcome.GO} < {was for was, _, _ in found.table}
    assert found.changes
    apart = sum(each.count for each in found.apart)
    assert found.compared + apart == 60 and found.compared > 0
    assert not weighed(old, old, made).changes


def weighed(old: Standard, new: Standard, made: list[bytes]) -> Impact:
    raw = [read_log(f"{number}.jsonl", data)[0] for number, data in enumerate(made)]
    return impact(old, new, [each for each in raw if each is not None])
