"""How far graders agree beyond chance: kappa and alpha, for categories without an order.

Cohen's kappa is of two graders, over the candidates both graded. Fleiss' kappa is of all, over the candidates that
all graded. Krippendorff's alpha is of all, over every candidate that at least two graded. Where nothing varies, or
there are not two candidates to go by, a coefficient is not defined, and says why instead.
"""

from collections.abc import Iterable, Mapping, Sequence
from enum import Enum
from itertools import combinations
from typing import Any

from standfast.values import frozen

Ratings = Sequence[Mapping[str, str]]
"""Of each candidate the category each grader gave; a grader that did not grade it is left out."""


class Undefined(Enum):
    """Why there is no coefficient."""

    TOO_FEW = "fewer than two candidates"
    NOTHING_VARIES = "one category only"
    NO_LIBRARY = "not computed"


@frozen
class Coefficient:
    """`value` has six decimals, rounded; None where it is not defined, and then `why`. `over` is how many
    candidates it was taken of, `category` the only one there was where nothing varies.
    """

    graders: tuple[str, ...]
    over: int
    value: str | None
    why: Undefined | None = None
    category: str | None = None


@frozen(kw_only=True)
class Agreement:
    """Of an event (None: of the whole test): how many candidates at least two graded, how many of them were
    graded alike by all who did, and the coefficients.
    """

    about: str | None
    candidates: int
    alike: int
    cohen: tuple[Coefficient, ...]
    fleiss: Coefficient
    alpha: Coefficient


def agreement(about: str | None, graders: Sequence[str], ratings: Ratings) -> Agreement:
    """`graders` are all that graded anybody, at least two."""
    by_two = [each for each in ratings if len(each) > 1]
    by_all = [each for each in ratings if len(each) == len(graders)]
    cohen = []
    for pair in combinations(graders, 2):
        both = [{grader: each[grader] for grader in pair} for each in ratings if set(pair) <= set(each)]
        cohen.append(_coefficient("kappa", pair, both))
    return Agreement(
        about=about,
        candidates=len(by_two),
        alike=sum(len(set(each.values())) == 1 for each in by_two),
        cohen=tuple(cohen),
        fleiss=_coefficient("pi", graders, by_all),
        alpha=_coefficient("alpha", graders, by_two),
    )


def is_installed() -> bool:
    return _task([]) is not None


def _coefficient(name: str, graders: Iterable[str], ratings: Ratings) -> Coefficient:
    """By the name it has in the library, where Fleiss' is the `pi` of several graders."""
    who, over = tuple(graders), len(ratings)
    if over < 2:
        return Coefficient(who, over, None, Undefined.TOO_FEW)
    categories = {category for each in ratings for category in each.values()}
    if len(categories) == 1:
        return Coefficient(who, over, None, Undefined.NOTHING_VARIES, next(iter(categories)))
    task = _task(
        [(grader, number, category) for number, each in enumerate(ratings) for grader, category in each.items()]
    )
    if task is None:
        return Coefficient(who, over, None, Undefined.NO_LIBRARY)
    return Coefficient(who, over, f"{getattr(task, name)():z.6f}")


def _task(data: Sequence[tuple[str, int, str]]) -> Any:
    """The library's table of who gave what; None where the library is not installed."""
    try:
        from nltk.metrics.agreement import AnnotationTask
    except ModuleNotFoundError as missing:
        if missing.name is None or missing.name.startswith("standfast"):
            raise
        return None
    return AnnotationTask(data=data)
