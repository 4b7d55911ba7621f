"""A standard without what belongs to the whole test only, or to other events."""

from standfast.model.rules import FigureKind, Limit
from standfast.model.standard import Event, Standard
from standfast.values import evolve


def without_total(standard: Standard) -> Standard:
    """Rule 26: without grades, and without limits on the points of the whole test."""
    limits = tuple(limit for limit in standard.always.limits if not _of_all_points(limit))
    return evolve(standard, grades=(), always=evolve(standard.always, limits=limits))


def _of_all_points(limit: Limit) -> bool:
    figure = limit.figure
    parts = [part.path for part in figure.parts if part.kind is FigureKind.POINTS]
    return figure.kind is FigureKind.POINTS or None in parts


def with_one_event(standard: Standard, event: Event) -> Standard:
    """The event by itself (rule 26), and without the limits of `always` that ask for a figure of another."""
    rest = without_total(standard)
    limits = tuple(limit for limit in rest.always.limits if not _of_others(limit, event))
    return evolve(rest, always=evolve(rest.always, limits=limits), events=(event,))


def _of_others(limit: Limit, event: Event) -> bool:
    """Whether it asks for a figure of another event: it is judged when that one is over too."""
    return any(part.path is not None and part.path.split(".")[0] != event.label for part in limit.figure.parts)
