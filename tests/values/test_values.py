"""Every value class of the package is, to whoever looks, the class that attrs makes of the same definition."""

import copy
import inspect
import pickle
import pkgutil
from importlib import import_module
from typing import Any

import attrs
import pytest

import standfast
from standfast.values import define, evolve, field, frozen


def _classes() -> list[type]:
    found: dict[str, type] = {}
    for module in pkgutil.walk_packages(standfast.__path__, "standfast."):
        if module.name.endswith("__main__"):
            continue
        for each in vars(import_module(module.name)).values():
            if isinstance(each, type) and "__recipe__" in vars(each):
                found[f"{each.__module__}.{each.__qualname__}"] = each
    return [each for _, each in sorted(found.items())]


CLASSES = _classes()


def _shape(function: Any) -> list[tuple[str, object, bool]]:
    """The parameters: name, kind, and whether there is a default."""
    parameters = inspect.signature(function).parameters.values()
    return [(each.name, each.kind, each.default is not inspect.Parameter.empty) for each in parameters]


def test_there_are_many() -> None:
    assert len(CLASSES) > 300


@pytest.mark.parametrize("made", CLASSES, ids=lambda made: f"{made.__module__}.{made.__qualname__}")
def test_it_is_as_attrs_makes_it(made: Any) -> None:
    recipe = made.__recipe__
    other: Any = recipe.by_attrs()
    assert attrs.has(recipe.made) and attrs.fields(recipe.made) == attrs.fields(other)
    assert made.__match_args__ == other.__match_args__
    if "__init__" not in vars(recipe.stated):
        assert _shape(recipe.part("__init__")) == _shape(other.__init__)
    for name in ("__eq__", "__hash__", "__repr__", "__lt__", "__setattr__"):
        assert (name in vars(made)) == (name in vars(other)), name
    assert (made.__hash__ is None) == (other.__hash__ is None)
    assert set(getattr(made, "__slots__", ())) == set(getattr(other, "__slots__", ()))
    assert ("__dict__" in dir(made)) == ("__dict__" in dir(other))


@frozen(order=True)
class Point:
    across: int
    up: int = 2
    _marks: list[int] = field(factory=list, kw_only=True, eq=False)
    sum: int = field(init=False, repr=False)

    @sum.default
    def _added(self) -> int:
        return self.across + self.up


@frozen
class Named(Point):
    name: str = field(default="n", kw_only=True)

    def __attrs_post_init__(self) -> None:
        assert self.name


@define
class Counter:
    count: int = 0

    def up(self) -> "Counter":
        self.count += 1
        return self


@define
class Louder(Counter):
    def up(self) -> "Counter":
        super().up()
        return super().up()


@frozen(slots=False)
class Loose:
    of: int


@pytest.mark.parametrize("made_before", [0, 100])
def test_a_value_is_made_compared_hashed_and_shown(made_before: int) -> None:
    for _ in range(made_before):
        Point(1), Named(1)
    assert Point(1) == Point(1, up=2, marks=[3]) != Point(1, 3)
    assert (Point(1).sum, Point(1)._marks, Point(1, marks=[3])._marks) == (3, [], [3])
    assert Point(1)._marks is not Point(1)._marks
    assert {Point(1): "a"}[Point(1)] == "a" and Point(1) < Point(1, 3) and not Point(2) <= Point(1)
    assert repr(Point(1)) == "Point(across=1, up=2, _marks=[])"
    assert repr(Named(1, name="x")) == "Named(across=1, up=2, _marks=[], name='x')"
    assert Named(1) != Point(1) and Point(1) != Named(1)
    other: object = 1
    assert Point(1) != other
    match Point(4, 5):
        case Point(across, up):
            assert (across, up) == (4, 5)


def test_a_value_is_frozen() -> None:
    for value in (Point(1), Named(1), Loose(1)):
        with pytest.raises(attrs.exceptions.FrozenInstanceError):
            value.across = 2  # type: ignore[union-attr, misc]
        with pytest.raises(attrs.exceptions.FrozenInstanceError):
            del value.across  # type: ignore[union-attr]


@pytest.mark.parametrize("made_before", [0, 100])
def test_what_is_given_wrongly_is_refused(made_before: int) -> None:
    @frozen
    class Pair:
        one: int
        two: int = 2
        three: int = field(init=False, default=3)

    make: Any = Pair
    for _ in range(made_before):
        make(1)
    wrong: tuple[tuple[tuple[int, ...], dict[str, int]], ...] = (
        ((), {}),
        ((1, 2, 3), {}),
        ((1,), {"one": 1}),
        ((1,), {"three": 3}),
        ((), {"two": 2}),
    )
    for given, named in wrong:
        with pytest.raises(TypeError, match="__init__"):
            make(*given, **named)
    assert make(one=1) == make(1, 2) and make(1).three == 3


def test_it_is_copied_changed_and_packed() -> None:
    one = Named(1, 3, marks=[4], name="x")
    changed = evolve(one, across=2, marks=[])
    assert (changed.across, changed.up, changed._marks, changed.name, changed.sum) == (2, 3, [], "x", 5)
    assert attrs.evolve(one, across=2) == evolve(one, across=2)
    for other in (copy.copy(one), copy.deepcopy(one), pickle.loads(pickle.dumps(one))):
        assert other == one and (other._marks, other.sum) == ([4], 4)
    assert pickle.loads(pickle.dumps(Loose(3))) == Loose(3)
    assert attrs.asdict(Loose(3)) == {"of": 3}


def test_what_may_change_has_no_hash_and_its_methods_reach_their_base() -> None:
    assert Louder(1).up() == Louder(3) != Counter(3)
    with pytest.raises(TypeError):
        hash(Counter())
