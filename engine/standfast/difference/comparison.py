"""What comparing two editions gives: values only."""

from standfast.difference.candidates import Candidates
from standfast.difference.claims import Course
from standfast.difference.conditions import ConditionChange, Word
from standfast.difference.marks import MarkChanges
from standfast.model.standard import Standard
from standfast.values import frozen


@frozen
class EventComparison:
    """One event by itself, with the rules of `always` (rule 26); `course` is there where both editions have it."""

    label: str
    in_old: bool
    in_new: bool
    course: Course | None


@frozen
class Comparison:
    """The editions compared: the whole test, its conditions included, then its parts.

    `course` is the whole test with every condition met. `marks` are those of the two editions; logs that have one
    which only one edition knows are not compared. Where there are such marks, `passed` says of the old edition and
    of the new whether any log without them is GO (None: not known).
    """

    old: Standard
    new: Standard
    whole: Course
    course: Course
    events: tuple[EventComparison, ...]
    conditions: tuple[ConditionChange, ...]
    marks: MarkChanges
    candidates: Candidates
    passed: tuple[bool | None, bool | None] = (None, None)

    @property
    def word(self) -> Word:
        return self.whole.word

    @property
    def different(self) -> bool:
        """Whether anything at all that can be shown differs, be it only in reasons or marks."""
        return (
            self.word is not Word.SAME
            or self.whole.told.shown is not None
            or any(event.course is None or _differs(event.course) for event in self.events)
            or bool(self.conditions)
            or self.marks.any
            or bool(self.candidates.went or self.candidates.came or self.candidates.changed)
        )

    @property
    def left_open(self) -> bool:
        parts = [self.whole, self.course, *(event.course for event in self.events if event.course is not None)]
        return any(part.left_open for part in parts)


def _differs(course: Course) -> bool:
    return course.word is not Word.SAME or course.told.shown is not None
