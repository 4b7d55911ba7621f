"""Patterns: a mark with what its value must be, looked up; and whether one entry could fit two of them."""

from standfast.codes import meaning as codes
from standfast.diagnostic import Label
from standfast.language import syntax
from standfast.model import amounts
from standfast.model.rules import Pattern
from standfast.model.scope import Scope, near
from standfast.model.standard import Fact, Mark


def pattern(scope: Scope, written: syntax.Pattern, number: int = 1) -> Pattern:
    """The pattern as meant; `number` is the one before the mark, which then may take a plural s."""
    mark = scope.mark(written.mark, number)
    if mark is None:
        return Pattern(written.mark.text)
    match written.value:
        case None:
            return Pattern(mark.name)
        case syntax.Choices() as choices:
            return _chosen(scope, mark, choices)
        case syntax.Test() as test:
            return _measured(scope, mark, test)


def _chosen(scope: Scope, mark: Mark, written: syntax.Choices) -> Pattern:
    if mark.unit is not None:
        facts = {"value": written.span.text, "mark": mark.name, "unit": mark.unit.name}
        scope.refuse(codes.CHOICE_OF_MEASURED_MARK, written.span, **facts)
    elif not mark.choices:
        scope.refuse(codes.VALUE_OF_BARE_MARK, written.span, value=written.span.text, mark=mark.name)
    else:
        for name in written.names:
            choice(scope, mark, name)
        once(scope, written.names)
        if written.other and {name.text for name in written.names} >= set(mark.choices):
            facts = {"value": written.span.text, "mark": mark.name, "choices": ", ".join(mark.choices)}
            scope.refuse(codes.NO_CHOICE_LEFT, written.span, **facts)
    return Pattern(mark.name, choices=tuple(name.text for name in written.names), other=written.other)


def _measured(scope: Scope, mark: Mark, written: syntax.Test) -> Pattern:
    if mark.choices:
        facts = {"value": written.span.text, "mark": mark.name, "choices": ", ".join(mark.choices)}
        scope.refuse(codes.AMOUNT_OF_CHOICES, written.span, **facts)
    elif mark.unit is None:
        scope.refuse(codes.VALUE_OF_BARE_MARK, written.span, value=written.span.text, mark=mark.name)
    else:
        return Pattern(mark.name, test=amounts.test(scope, written, mark.unit.dimension, heading=mark.heading))
    return Pattern(mark.name)


def choice(scope: Scope, mark: Mark | Fact, name: syntax.Name) -> None:
    """Refuse what is no choice of the mark or fact."""
    if name.text not in mark.choices:
        facts = {"mark": mark.name, "choices": ", ".join(mark.choices)}
        scope.refuse(codes.UNKNOWN_CHOICE, name.span, **near(name.text, mark.choices), **facts)


def once(scope: Scope, names: tuple[syntax.Name, ...]) -> None:
    """Refuse a choice named twice in one list."""
    seen: dict[str, syntax.Name] = {}
    for name in names:
        first = seen.setdefault(name.text, name)
        if first is not name:
            scope.refuse(codes.CHOICE_TWICE, name.span, Label(first.span, "the other one"), name=name.text)


def overlap(scope: Scope, one: Pattern, other: Pattern) -> bool:
    """Whether one entry could fit both; none could of a mark that is not declared."""
    mark = scope.marks.get(one.mark)
    if mark is None or one.mark != other.mark:
        return False
    if one.test is not None and other.test is not None:
        return amounts.meet(one.test, other.test)
    if one.choices and other.choices:
        return any(one.fits(mark.name, each) and other.fits(mark.name, each) for each in mark.choices)
    return True
