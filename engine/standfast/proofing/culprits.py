"""Which rule is in the way of what can never happen: one is named only if without it the thing can happen."""

from collections.abc import Callable, Iterator

from standfast.machine.compile import compile_standard
from standfast.machine.effort import Effort
from standfast.machine.explore import Explorer
from standfast.model.rules import Effect, Fault, Limit, Rule
from standfast.model.standard import Event, Standard
from standfast.proofing.sights import Survey
from standfast.proofing.slices import alone, secluded, without

MOST_SUSPECTS = 8
MOST_POSITIONS = 1_000
"""Where it is given up: rules looked at for one finding, positions looked at for one rule."""


def culprit(
    standard: Standard,
    event: Event,
    survey: Survey,
    near: str,
    wanted: Callable[[Survey], bool],
    effort: Effort,
    *,
    rule: Rule | None = None,
    first: str | None = None,
) -> Rule | None:
    """A rule without which `wanted` comes about; those nearest to the path `near` are tried first.

    None if there is none, or none was found with the effort there is.
    `rule` is the one that is wanted to act, if it is one; `first` the path of a suspect to begin with.
    """
    one = alone(standard, event)
    apart = [other for other in secluded(one) if other is not rule]
    suspects = sorted(_suspects(one, survey, apart, rule), key=lambda each: (each.path != first, _far(each, near)))
    for suspect in suspects[:MOST_SUSPECTS]:
        if not effort.spent and _comes_about(without(one, (*apart, suspect)), wanted, effort):
            return suspect
    return None


def _suspects(
    standard: Standard, survey: Survey, apart: list[Limit | Fault], rule: Rule | None
) -> Iterator[Limit | Fault]:
    """What is graver than a note and has been seen to act: another rule can stand in nothing's way."""
    for each in standard.rules():
        if not isinstance(each, Limit | Fault) or each is rule or each in apart or each.path not in survey.broken:
            continue
        if not (isinstance(each, Fault) and each.effect is Effect.NOTE):
            yield each


def _far(rule: Rule, near: str) -> int:
    """How far out of the path it stands; what is inside it, or in another branch, comes last."""
    owner = rule.path.rpartition(".")[0]
    if owner == near or near.startswith(f"{owner}."):
        return near.count(".") - owner.count(".")
    return near.count(".") + 2 - owner.startswith("always")


def _comes_about(standard: Standard, wanted: Callable[[Survey], bool], effort: Effort) -> bool:
    machine = compile_standard(standard)
    explorer, survey = Explorer(machine, effort=effort), Survey(machine, effort)
    for node in explorer.nodes():
        survey.see(node, explorer.attempt_clock)
        if wanted(survey):
            return True
        if explorer.visited > MOST_POSITIONS:
            break
    return False
