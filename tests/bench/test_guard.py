"""The guard of the bench, on ratios that are made up."""

from pathlib import Path

import measure
import pytest
from bench.guard import Kept, kept_from, missing, worse
from bench.rows import Row, table


def row(name: str, figure: float, *, at_least: bool = False, guarded: bool = True) -> Row:
    return Row(name=name, figure=figure, at_least=at_least, guarded=guarded)


def test_a_ratio_may_be_worse_by_the_tolerance_and_no_more() -> None:
    kept = {"replay": Kept(figure=0.5, tolerance=0.2, at_least=False)}
    assert worse([row("replay", 0.6)], kept) == []
    assert worse([row("replay", 0.1)], kept) == []
    (found,) = worse([row("replay", 0.61)], kept)
    assert (found.name, found.kept, found.found) == ("replay", 0.5, 0.61)
    assert str(found) == "replay: 0.61, kept is 0.5; worse by 22%, allowed are 20%"


def test_where_more_is_better_less_is_worse() -> None:
    kept = {"library": Kept(figure=60, tolerance=0.2, at_least=True)}
    assert worse([row("library", 50, at_least=True), row("library", 600, at_least=True)], kept) == []
    assert [each.found for each in worse([row("library", 49, at_least=True)], kept)] == [49]


def test_seconds_and_rows_that_are_not_kept_are_not_held() -> None:
    kept = {"proof": Kept(figure=1, tolerance=0.2, at_least=False)}
    assert worse([row("proof", 9, guarded=False), row("new", 9)], kept) == []


def test_a_row_that_has_gone_is_told() -> None:
    kept = {name: Kept(figure=1, tolerance=0.2, at_least=False) for name in ("a", "b")}
    assert missing([row("a", 1)], kept) == ["b"]


def test_what_is_kept_of_several_runs_is_the_middle_and_how_far_they_lay_apart() -> None:
    runs = [[row("near", 1.0), row("wide", each), row("seconds", 1, guarded=False)] for each in (1.0, 2.0, 1.5)]
    kept = kept_from(runs)
    assert kept.keys() == {"near", "wide"}
    assert (kept["wide"].figure, round(kept["wide"].tolerance, 3)) == (1.5, 0.667)
    assert kept["near"].tolerance == 0.25


def test_the_table_tells_each_figure_beside_its_bar() -> None:
    rows = [
        Row(name="replay", figure=0.512, bar=0.6, stretch=0.4),
        Row(name="a library", figure=123.4, bar=50, stretch=100, at_least=True),
        Row(name="reading", figure=61.26, unit="ms", bar=60),
    ]
    assert table(rows) == (
        "| what | figure | wanted: at most | hoped for |\n"
        "|---|---:|---:|---:|\n"
        "| replay | 0.51 | 0.60 | 0.40 |\n"
        "| a library | 123 | at least 50.0 | at least 100 |\n"
        "| reading | 61.3 ms, missed | 60.0 ms |  |\n"
    )


def test_the_command_keeps_ratios_and_ends_with_1_where_one_has_become_worse(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(measure, "KEPT", tmp_path / "kept.json")
    measure.keep([[row("replay", 0.5), row("proof", 2.0)]])
    measure.keep([[row("replay", 0.4)]])
    assert measure.guarded([row("replay", 0.5), row("proof", 2.0)], []) == 0
    assert measure.guarded([row("replay", 0.6)], []) == 1
    assert capsys.readouterr().err == (
        "worse: replay: 0.6, kept is 0.4; worse by 50%, allowed are 25%\nnot measured: proof\n"
    )
