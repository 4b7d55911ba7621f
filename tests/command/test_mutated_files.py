"""Spoilt rule files and logs through the command line: a verdict or errors, and nothing else."""

from trials.files import trial


def test_five_hundred_spoilt_files_end_as_they_must() -> None:
    ended, wrong = trial("five hundred", 500)
    assert [offence.what for offence in wrong] == []
    assert ended.total() == 500
    assert all(ended[f"grade exit {code}"] >= 3 for code in (0, 1, 2))
    assert all(ended[f"proof exit {code}"] >= 3 for code in (1, 2))
    assert all(ended[how] for how in ("tidy exit 1", "tidy exit 2", "brief exit 0", "brief exit 2"))
