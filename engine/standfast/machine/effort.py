"""How much may still be looked at: a count of work, not of time, so that the same file always ends alike."""

from standfast.values import define


@define
class Effort:
    """Work that searches may share out among themselves; without a number there is no end of it.

    One unit is about what one step of a small machine takes. INVARIANT: once spent it stays so.
    """

    left: int | None = None

    @property
    def spent(self) -> bool:
        return self.left is not None and self.left < 0

    def takes(self, units: int) -> bool:
        """Whether there is so much left; it is used up by that, and all that is left where it is not enough."""
        if self.left is None:
            return True
        if self.left >= 0:
            self.left = max(self.left - units, -1)
        return self.left >= 0
