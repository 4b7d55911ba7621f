"""Pages of random verdicts: whatever the standard and the log, every entry stands in one picture, and all fits."""

from trials.pairs import pairs

from standfast.command.verdict_page import VerdictPage
from standfast.replay import replay
from standfast.report.shapes import Box
from standfast.report.verdict_page.course import attempt_timeline
from standfast.report.verdict_page.drawing import drawings
from standfast.report.verdict_page.html import verdicts_html
from standfast.report.verdict_page.judged import Judged
from standfast.report.verdict_page.session import session_timeline


def check(judged: Judged) -> tuple[int, int]:
    """How many entries and bars were seen."""
    shown = [attempt_timeline(judged, event, attempt) for event, attempt in judged.attempts()]
    whole = session_timeline(judged)
    ticks = [tick for each in (*shown, *([] if whole is None else [whole])) for tick in each.ticks]
    assert sorted(tick.number for tick in ticks if not tick.is_gone) == [entry.number for entry in judged.entries]
    bars = 0
    for each in shown:
        assert all(each.since <= bar.since <= bar.until <= each.until for row in each.rows for bar in row.bars)
        for drawing in drawings(each):
            boxes = [shape for shape in drawing.shapes if isinstance(shape, Box)]
            assert all(box.x >= 0 and box.x + box.width <= drawing.width for box in boxes)
            bars += len(boxes)
    return len(ticks), bars


def test_random_pages() -> None:
    entries = bars = again = 0
    for _, machine, log, _ in pairs("pages", 150):
        page = VerdictPage("not_written.html")
        page.add(machine.standard, log, replay(machine, log))
        for judged in page.judged:
            seen = check(judged)
            entries, bars = entries + seen[0], bars + seen[1]
            again += "<strong>restart</strong>" in verdicts_html([judged])
    assert entries > 1000 and bars > 400 and again > 2
