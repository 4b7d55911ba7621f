"""The picture drawn: no label covers another or is crossed by a line, and everything is inside."""

from random import Random

from standfast.report.shapes import Box, Drawing, Stroke, Words, text_width
from standfast.report.verdict_page.course import attempt_timeline
from standfast.report.verdict_page.drawing import drawings
from standfast.report.verdict_page.judged import Judged
from standfast.report.verdict_page.labels import BOLD, Label, labels
from standfast.report.verdict_page.scale import Scale
from standfast.report.verdict_page.session import session_timeline
from standfast.report.verdict_page.timeline import Extent, Instant, Look, Row, Tick, Timeline

S = 1_000_000
ROOM = 850


def timeline(ticks: list[Tick], rows: tuple[Row, ...] = (), until: int = 600 * S) -> Timeline:
    instants = (Instant(until, "decided: GO", is_drawn=True),)
    return Timeline(name="t", since=0, until=until, ticks=tuple(ticks), rows=rows, instants=instants, zero=None)


def made(rng: Random, number: int, until: int) -> list[Tick]:
    """Entries in bunches, some of which broke something."""
    times = sorted(
        min(until, int(rng.choice((0.1, 0.5, 0.9)) * until) + rng.randrange(until // 3)) for _ in range(number)
    )
    names = ("hit", "check kill_cord", "a_mark_" + "of_a_very_long_name_" * 4)
    looks = [Look.PLAIN] * 12 + [Look.CUT, Look.FAILED, Look.AGAIN]
    return [
        Tick(
            at=at,
            number=n,
            mark=rng.choice(names),
            look=rng.choice(looks),
            corrected=rng.choice([""] * 20 + ["struck"]),
        )
        for n, at in enumerate(times, 1)
    ]


def clashes(found: tuple[Label, ...], scale: Scale) -> list[tuple[str, str]]:
    """Labels that another covers, or that the line down from a higher one crosses."""
    wrong = []
    for one in found:
        left, right = scale.at(one.at), scale.at(one.at) + one.width
        for other in found:
            begin = scale.at(other.at)
            same = one is not other and one.lane == other.lane and left <= begin < right
            crossed = other.lane > one.lane and left < begin < right
            if same or crossed:
                wrong.append((one.text, other.text))
    return wrong


def test_labels_never_clash_however_many_there_are() -> None:
    rng, told = Random(11), set()
    for number in (1, 2, 5, 9, 15, 30, 60, 120, 400):
        for _ in range(12):
            shown = timeline(made(rng, number, 600 * S))
            found, scale = labels(shown, Scale(0, 600 * S, 210, ROOM), ROOM)
            assert clashes(found, scale) == []
            assert max(label.lane for label in found) < 12
            assert all(scale.at(label.at) + label.width <= ROOM for label in found)
            assert scale.right - scale.left > 300
            told |= {label.text.isdigit() for label in found} | {" to " in label.text for label in found}
    assert told == {True, False}


def test_a_clash_would_be_seen() -> None:
    scale = Scale(0, 600 * S, 210, ROOM)
    near = (Label(100 * S, "long label", "label-plain"), Label(101 * S, "other", "label-plain"))
    assert clashes(near, scale) == [("long label", "other")]
    crossing = (Label(100 * S, "long label", "label-plain"), Label(101 * S, "other", "label-plain", lane=1))
    assert clashes(crossing, scale) == [("long label", "other")]


def test_what_broke_a_rule_keeps_its_name_among_many_that_did_not() -> None:
    ticks = [Tick(at=n * 5 * S, number=n, mark="stroke", look=Look.PLAIN) for n in range(1, 110)]
    ticks[60] = Tick(at=305 * S, number=61, mark="hand_down", look=Look.FAILED)
    found, _ = labels(timeline(ticks), Scale(0, 600 * S, 210, ROOM), ROOM)
    assert "61 hand_down" in [label.text for label in found]


def check(drawing: Drawing) -> None:
    for shape in drawing.shapes:
        if isinstance(shape, Words):
            right = shape.x + text_width(shape.text, 12, bold=shape.kind in {*BOLD, "row-name"})
            assert shape.x >= 0 and right <= drawing.width and 10 <= shape.y <= drawing.height, shape
        elif isinstance(shape, Box):
            assert (
                shape.x >= 0
                and shape.x + shape.width <= drawing.width
                and shape.y + shape.height <= drawing.height
            )
        else:
            assert isinstance(shape, Stroke)
            assert all(0 <= x <= drawing.width and 0 <= y <= drawing.height for x, y in shape.points), shape


def test_every_picture_of_every_shipped_log_stays_inside(every: list[Judged], swum: object) -> None:
    seen = 0
    for judged in every:
        shown = [attempt_timeline(judged, event, attempt) for event, attempt in judged.attempts()]
        whole = session_timeline(judged)
        for each in (*shown, *([whole] if whole else [])):
            for drawing in drawings(each):
                check(drawing)
                seen += 1
    assert seen > 200


def test_a_limit_far_beyond_is_an_arrow_and_a_near_one_is_shown_whole() -> None:
    far = Row("within 1 h", 0, "within 1 h", extents=(Extent(0, (3600 * S,)),))
    near = Row("within 11 min", 0, "within 11 min", extents=(Extent(0, (660 * S,), broken=660 * S),))
    (drawing,) = drawings(timeline([], (far, near)))
    check(drawing)
    kinds = [shape.kind for shape in drawing.shapes if isinstance(shape, Stroke)]
    assert kinds.count("arrow") == 1 and kinds.count("limit") == 0 and kinds.count("limit-broken") == 4


def test_what_does_not_fit_a_page_is_drawn_in_several_pictures() -> None:
    rows = tuple(Row(f"row {n}", n % 9, f"row {n}") for n in range(100))
    drawn = drawings(timeline([], rows))
    assert len(drawn) == 3 and all(drawing.height < 800 for drawing in drawn)
    words = [shape.text for drawing in drawn for shape in drawing.shapes if isinstance(shape, Words)]
    assert all(f"row {n}" in words for n in range(100))


def test_scales_from_a_moment_to_months_have_a_few_round_instants() -> None:
    for until in (S, 7 * S, 61 * S, 3600 * S, 86_400 * S, 400 * 86_400 * S):
        steps = list(Scale(0, until, 210, ROOM).steps())
        assert 2 <= len(steps) <= 9 and steps[0] == 0
    short = Scale(5, 9, 210, ROOM)
    assert list(short.steps()) == [5, 6, 7, 8, 9]
