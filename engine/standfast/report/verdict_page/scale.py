"""Where an instant stands across a picture, and which instants are written below it."""

from collections.abc import Iterator

from standfast.values import frozen

_APART = 78  # of two instants that are written
_SECOND = 1_000_000
_DAY = 24 * 3600 * _SECOND
_STEPS = (
    *(digit * 10**power for power in range(6) for digit in (1, 2, 5)),
    *(seconds * _SECOND for seconds in (1, 2, 5, 10, 15, 30)),
    *(minutes * 60 * _SECOND for minutes in (1, 2, 5, 10, 15, 30)),
    *(hours * 3600 * _SECOND for hours in (1, 2, 4, 6, 12)),
)


@frozen
class Scale:
    """INVARIANT: `since` is before `until`, and `left` left of `right`."""

    since: int
    until: int
    left: int
    right: int

    def at(self, instant: int) -> int:
        """An instant beyond an end stands at that end."""
        inside = min(max(instant, self.since), self.until)
        return self.left + (inside - self.since) * (self.right - self.left) // (self.until - self.since)

    def narrowed(self, room: int, labels: list[tuple[int, int]]) -> "Scale":
        """Narrow enough that each label (its instant and width) that begins at its instant ends within `room`."""
        right = self.right
        for instant, width in labels:
            beyond = min(instant, self.until) - self.since
            if beyond > 0:
                right = min(right, self.left + (room - width - self.left) * (self.until - self.since) // beyond)
        return Scale(self.since, self.until, self.left, right)

    def steps(self) -> Iterator[int]:
        """Round instants, as near to one another as there is room for."""
        length, room = self.until - self.since, self.right - self.left
        step = next((each for each in _STEPS if each * room >= _APART * length), None)
        if step is None:
            step = _DAY * -(-_APART * length // (room * _DAY))
        yield from range(-(-self.since // step) * step, self.until + 1, step)
