"""The graders written by hand give the verdicts of the engine, so that timing them beside it means something."""

from collections import Counter
from pathlib import Path

from bench import readable, tight
from bench.by_hand import log_by_hand, told_by_engine
from bench.sessions import STANDARD, sessions

from standfast.pipeline import grade, load_log, load_standard
from standfast.source import Source

STANDARDS = Path(__file__).resolve().parents[2] / "standards"


def test_both_give_the_engines_verdicts_on_sessions_of_every_outcome() -> None:
    standard, found = load_standard(Source(STANDARD, (STANDARDS / STANDARD).read_text(encoding="utf-8")))
    assert standard is not None, found
    seen: Counter[object] = Counter()
    paths = set()
    for place, data in enumerate(sessions(seed=1, number=120)):
        log, diagnostics = load_log(f"{place}.jsonl", data, standard)
        assert log is not None, diagnostics
        (verdict,) = grade(standard, log)
        told, given = told_by_engine(verdict), log_by_hand(log)
        assert readable.grade(given).told() == told
        assert tight.grade(given.conditions, tight.rows_of(given), given.end) == told
        seen[verdict.outcome.value] += 1
        attempts = (attempt for event in verdict.events for attempt in event.attempts)
        paths |= {reason.path for attempt in attempts for reason in attempt.reasons}
    assert min(seen[outcome] for outcome in ("GO", "NO-GO", "UNFINISHED")) >= 10
    assert len(paths) >= 15
