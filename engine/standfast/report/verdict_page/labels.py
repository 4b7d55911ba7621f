"""Labels of ticks, so that none covers another: each in a lane, the later the lower, a line down to its tick.

A label begins at its tick and goes right. Lanes are given from the last label to the first, each the lowest above
all that begin where it would reach, so no line crosses a label. Where that takes too many lanes the entries that
only happened keep their number alone, then neighbours among them share one label, at last any neighbours do.
"""

from bisect import bisect_right
from collections.abc import Callable, Iterable, Iterator, Sequence

from standfast.quantity import clock
from standfast.report.lines import safe
from standfast.report.shapes import text_width
from standfast.report.verdict_page.scale import Scale
from standfast.report.verdict_page.timeline import Tick, Timeline
from standfast.values import evolve, frozen

SIZE = 12
BESIDE = 3  # from a tick to its label
_GAP = 6  # between labels of one lane
_WIDEST = 190
_MOST = 12  # lanes


@frozen
class Label:
    at: int
    text: str
    kind: str
    lane: int = 0

    @property
    def width(self) -> int:
        return BESIDE + text_width(self.text, SIZE, bold=self.kind in BOLD)


BOLD = {"decided", "label-fail", "label-restart", "label-halt", "label-close"}


def labels(shown: Timeline, scale: Scale, room: int) -> tuple[tuple[Label, ...], Scale]:
    """The labels in their lanes, and the scale with room for them up to `room`."""
    instants = [
        Label(each.at, f"{each.words} at {clock(each.at)}", "decided") for each in shown.instants if each.is_drawn
    ]
    for labelled in _options(shown.ticks, scale):
        found, narrowed = _in_lanes([*labelled, *instants], scale, room)
        if max((label.lane for label in found), default=0) < _MOST:
            return found, narrowed
    raise AssertionError("one label alone has a lane")


def _options(ticks: Sequence[Tick], scale: Scale) -> Iterator[list[Label]]:
    """The labels of the entries, in fewer and fewer words."""
    whole = [_whole(tick) for tick in ticks]
    yield whole
    yield [_number(tick) if tick.is_ordinary else label for tick, label in zip(ticks, whole, strict=True)]
    doubled = [8 << power for power in range((scale.right - scale.left).bit_length())]
    yield from (_shared(ticks, scale, apart, lambda tick: tick.is_ordinary) for apart in doubled[:4])
    yield from (_shared(ticks, scale, apart, lambda tick: True) for apart in doubled)


def _whole(tick: Tick) -> Label:
    said = [tick.corrected] * bool(tick.corrected) + ["close call"] * (tick.shifted is not None)
    how = f" ({', '.join(said)})" if said else ""
    return Label(tick.at, _fitting(safe(tick.words), how), _kind(tick))


def _number(tick: Tick) -> Label:
    return Label(tick.at, str(tick.number), _kind(tick))


def _kind(tick: Tick) -> str:
    if tick.is_gone:
        return "label-gone"
    return "label-close" if tick.shifted is not None else f"label-{tick.look.value}"


def _fitting(text: str, how: str) -> str:
    if _width(text + how) <= _WIDEST:
        return text + how
    fits = bisect_right(range(len(text)), _WIDEST, key=lambda length: _width(f"{text[:length]}…{how}"))
    return f"{text[: max(fits - 1, 1)]}…{how}"


def _width(text: str) -> int:
    return text_width(text, SIZE, bold=True)


def _shared(ticks: Sequence[Tick], scale: Scale, apart: int, may_share: Callable[[Tick], bool]) -> list[Label]:
    """One label for all that follow one another within `apart` of the first of them; whole ones for the others."""
    shared: list[list[Tick]] = []
    for tick in ticks:
        run = shared[-1] if shared else []
        if run and all(map(may_share, (run[0], tick))) and scale.at(tick.at) < scale.at(run[0].at) + apart:
            run.append(tick)
        else:
            shared.append([tick])
    return [_label_of(run, may_share) for run in shared]


def _label_of(run: Sequence[Tick], may_share: Callable[[Tick], bool]) -> Label:
    if len(run) > 1:
        return Label(run[0].at, f"{run[0].number} to {run[-1].number}", "label-plain")
    return _number(run[0]) if may_share(run[0]) else _whole(run[0])


def _in_lanes(unplaced: Iterable[Label], scale: Scale, room: int) -> tuple[tuple[Label, ...], Scale]:
    ordered = sorted(unplaced, key=lambda label: label.at)
    narrowed = scale.narrowed(room, [(label.at, label.width) for label in ordered])
    begins: list[int] = []  # of each lane where its first label begins
    found: list[Label] = []
    for label in reversed(ordered):
        left = narrowed.at(label.at)
        right = left + label.width + _GAP
        lane = 1 + max((number for number, begin in enumerate(begins) if begin < right), default=-1)
        begins[lane : lane + 1] = [left]
        found.append(evolve(label, lane=lane))
    return tuple(reversed(found)), narrowed
