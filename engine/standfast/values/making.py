"""Making a value class: its fields get their slots at once, each method is written when it is first called.

For attrs to make a class takes half a millisecond, and to load attrs as long as three starts of Python; there are
hundreds of classes, and a command uses a few. So what commands do all the time, making, comparing and hashing a
value, is written in `recipe`; what is rare, such as showing a value, is made by attrs from the same definition,
and `attrs.fields`, `attrs.has` and the like find what they look for.
"""

from collections.abc import Callable

from standfast.values.recipe import NOTHING, Field, Recipe

TYPE_CHECKING = False  # as in `typing`, which takes long to load
if TYPE_CHECKING:
    from typing import Any

field = Field
_FEW = 24
"""About as many values as can be made in the time it takes to write the method that makes them."""
_ORDER = ("__lt__", "__le__", "__gt__", "__ge__")


def define(
    stated: type | None = None,
    *,
    frozen: bool = False,
    eq: bool = True,
    order: bool = False,
    kw_only: bool = False,
    slots: bool = True,
    weakref_slot: bool = True,
) -> object:
    """As `attrs.define`; of `frozen` and `evolve` the same is true."""
    options = {
        "frozen": frozen,
        "eq": eq,
        "order": order,
        "kw_only": kw_only,
        "slots": slots,
        "weakref_slot": weakref_slot,
    }
    return (lambda later: _made(later, options)) if stated is None else _made(stated, options)


def frozen(stated: type | None = None, **options: bool) -> object:
    return define(stated, frozen=True, **options)


def evolve(value: object, /, **changes: object) -> object:
    for name, given in _recipe(type(value)).given:
        if given not in changes:
            changes[given] = getattr(value, name)
    return type(value)(**changes)


def names_of(kind: type) -> tuple[str, ...] | None:
    """The names of the fields of a class of values, in their order; None of any other class."""
    recipe = getattr(kind, "__recipe__", None)
    return tuple(recipe.fields) if isinstance(recipe, Recipe) else None


def parts_of(value: object) -> list[object]:
    """What is in the fields of a value, in their order."""
    return [getattr(value, name) for name in _recipe(type(value)).fields]


def remade(kind: type, parts: list[object]) -> object:
    """A value from what was in its fields; nothing is worked out anew."""
    value: object = object.__new__(kind)
    for put, part in zip(_recipe(kind).puts(), parts, strict=True):
        put(value, part)
    return value


def _recipe(kind: type) -> Recipe:
    recipe = getattr(kind, "__recipe__", None)
    if not isinstance(recipe, Recipe):
        raise TypeError(f"{kind} is no value class")
    return recipe


def asdict(value: "Any") -> dict[str, object]:
    import attrs  # asked for rarely

    return attrs.asdict(value)


def _made(stated: type, options: dict[str, bool]) -> type:
    own = {name: _field(stated, name, options) for name in vars(stated).get("__annotations__", ())}
    recipe = Recipe(stated, options, own)
    body = {name: each for name, each in vars(stated).items() if name not in own}
    body.pop("__dict__", None)
    body.pop("__weakref__", None)
    body["__qualname__"] = stated.__qualname__
    body["__recipe__"] = recipe
    body["__attrs_attrs__"] = _ByAttrs(recipe)
    body.setdefault(
        "__match_args__",
        tuple(name for name, each in recipe.fields.items() if each.init and not each.kw_only),
    )
    if options["slots"]:
        known = {name for base in stated.__mro__[1:] for name in base.__dict__.get("__slots__", ())}
        body["__slots__"] = tuple(name for name in own if name not in known)
        if options["weakref_slot"] and not any("__weakref__" in vars(base) for base in stated.__mro__[1:]):
            body["__slots__"] += ("__weakref__",)
        body["__getstate__"], body["__setstate__"] = _state, _restore
    if options["frozen"]:
        body["__setattr__"], body["__delattr__"] = _refuse, _refuse
    has_own_eq = "__eq__" in body
    parts = ["__repr__"]
    if options["eq"] and not has_own_eq:
        parts.append("__eq__")
        if options["frozen"]:
            parts.append("__hash__")
        else:
            body["__hash__"] = None
    parts += _ORDER if options["order"] else ()
    body.setdefault("__init__", _first(recipe))
    for name in parts:
        body.setdefault(name, _later(recipe, name))
    recipe.made = type(stated)(stated.__name__, stated.__bases__, body)
    _hand_over(stated, recipe.made)
    return recipe.made


_BARE, _BARE_NAMED = Field(), Field(kw_only=True)


def _field(stated: type, name: str, options: dict[str, bool]) -> Field:
    written = stated.__dict__.get(name, NOTHING)
    if written is NOTHING:
        return _BARE_NAMED if options["kw_only"] else _BARE
    each = written if isinstance(written, Field) else Field(default=written)
    each.kw_only = each.kw_only or options["kw_only"]
    return each


def _first(recipe: Recipe) -> Callable[..., None]:
    """Makes the first few values of a class; with more of them it is worth its while to write the method."""
    left = _FEW

    def method(value: object, /, *given: object, **named: object) -> None:
        nonlocal left
        left -= 1
        if left < 0 or not recipe.filled(value, given, named):
            _later(recipe, "__init__")(value, *given, **named)

    return method


def _later(recipe: Recipe, name: str) -> Callable[..., object]:
    """A method that puts what it stands for in its own place when it is first called."""

    def method(*given: object, **named: object) -> object:
        part = recipe.part(name)
        type.__setattr__(recipe.made, name, part)
        return part(*given, **named)

    return method


class _ByAttrs:
    """What attrs knows a class of its own by, made when it asks."""

    def __init__(self, recipe: Recipe) -> None:
        self._recipe = recipe

    def __get__(self, value: object, owner: type) -> object:
        found: object = self._recipe.by_attrs().__dict__["__attrs_attrs__"]
        type.__setattr__(self._recipe.made, "__attrs_attrs__", found)
        return found


def _refuse(value: object, name: str, *_: object) -> None:
    from attrs.exceptions import FrozenInstanceError

    raise FrozenInstanceError


def _state(value: object) -> dict[str, object]:
    return {name: getattr(value, name) for name in _recipe(type(value)).fields}


def _restore(value: object, state: dict[str, object]) -> None:
    for name, each in state.items():
        object.__setattr__(value, name, each)


def _hand_over(stated: type, made: type) -> None:
    """Lets `super()` in the methods of a class mean the class that was made of it."""
    for each in vars(stated).values():
        method = getattr(each, "__func__", None) or getattr(each, "fget", None) or each
        for cell in getattr(method, "__closure__", None) or ():
            try:
                if cell.cell_contents is stated:
                    cell.cell_contents = made
            except ValueError:  # empty so far
                continue
