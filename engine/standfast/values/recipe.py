"""What a value class was defined by, and the parts of it that are written out when they are first used."""

from collections.abc import Callable
from types import FunctionType

NOTHING = object()
"""Stands for a default that is not there."""


class Field:
    """One field as a class body states it, with the options of `attrs.field` that are used here."""

    def __init__(
        self,
        *,
        default: object = NOTHING,
        factory: Callable[..., object] | None = None,
        init: bool = True,
        eq: bool = True,
        order: bool | None = None,
        repr: bool = True,
        kw_only: bool = False,
    ) -> None:
        self.preset = default
        self.factory = factory
        self.of_itself = False
        self.init = init
        self.eq = eq
        self.order = eq if order is None else order
        self.repr = repr
        self.kw_only = kw_only

    def default(self, method: Callable[..., object]) -> Callable[..., object]:
        """The decorator of a method that works the default out from the fields before it."""
        self.factory, self.of_itself = method, True
        return method


class Recipe:
    """The definition of one value class: its own fields, and all of them, those of its bases first.

    `made` is the class, `stated` the class as it was written.
    """

    def __init__(self, stated: type, options: dict[str, bool], own: dict[str, Field]) -> None:
        self.stated = self.made = stated
        self.frozen, self.slots = options["frozen"], options["slots"]
        self.options = options
        self.own = own
        inherited: dict[str, Field] = {}
        for base in reversed(stated.__mro__[1:-1]):
            recipe = base.__dict__.get("__recipe__")
            for name, field in {} if recipe is None else recipe.own.items():
                inherited.pop(name, None)
                inherited[name] = field
        self.fields = {name: each for name, each in inherited.items() if name not in own} | own
        self.given = [(name, name.lstrip("_")) for name, each in self.fields.items() if each.init]
        """The fields that are given when a value is made, and how they are called then."""
        self._placed = [name.lstrip("_") for name, each in self.fields.items() if each.init and not each.kw_only]
        self._by_attrs: type | None = None
        self._puts: list[Callable[[object, object], None]] = []

    def puts(self) -> list[Callable[[object, object], None]]:
        """What puts a part into its slot, for each field; of a class without slots there is none."""
        if not self._puts:
            self._puts = [getattr(self.made, name).__set__ for name in self.fields]
        return self._puts

    def by_attrs(self) -> type:
        """The same class as attrs makes it, for what is asked for too rarely to be written here."""
        if self._by_attrs is None:
            import attrs

            for name, each in self.own.items():
                factory = each.factory
                if factory is not None:
                    default = attrs.Factory(factory, takes_self=each.of_itself)  # type: ignore[call-overload]
                else:
                    default = attrs.NOTHING if each.preset is NOTHING else each.preset
                field = attrs.field(
                    default=default,
                    init=each.init,
                    eq=each.eq,
                    order=each.order,
                    repr=each.repr,
                    kw_only=each.kw_only,
                )
                setattr(self.stated, name, field)
            define: Callable[..., type] = attrs.define
            self._by_attrs = define(self.stated, **self.options)
        return self._by_attrs

    def filled(self, value: object, given: tuple[object, ...], named: dict[str, object]) -> bool:
        """Fills a new value; False where it is not made as it should be: that is for its method to tell."""
        parts = dict(zip(self._placed, given, strict=False))
        if len(parts) < len(given) or not parts.keys().isdisjoint(named):
            return False
        parts |= named
        for name, each in self.fields.items():
            alias = name.lstrip("_")
            if each.init and alias in parts:
                part = parts.pop(alias)
            elif each.factory is not None:
                part = each.factory(value) if each.of_itself else each.factory()
            elif each.preset is not NOTHING:
                part = each.preset
            elif each.init:
                return False
            else:
                continue
            object.__setattr__(value, name, part)
        if parts:
            return False
        if hasattr(value, "__attrs_post_init__"):
            value.__attrs_post_init__()
        return True

    def part(self, name: str) -> Callable[..., object]:
        """A method, as it stays from its first use on."""
        match name:
            case "__init__":
                return self._init()
            case "__eq__":
                return self._eq()
            case "__hash__":
                return self._hash()
            case "__lt__" | "__le__" | "__gt__" | "__ge__":
                return self._order(name)
            case _:
                found: Callable[..., object] = self.by_attrs().__dict__[name]
                return found

    def _init(self) -> Callable[..., object]:
        known: dict[str, object] = {"_nothing": NOTHING}
        body: list[str] = []
        placed, named = ["self"], list[str]()
        for name, each in self.fields.items():
            alias = name.lstrip("_")
            value = alias
            if each.factory is not None:
                known[f"_make_{name}"] = each.factory
                value = f"_make_{name}({'self' if each.of_itself else ''})"
                if each.init:
                    value = f"{value} if {alias} is _nothing else {alias}"
            elif not each.init and each.preset is NOTHING:
                continue
            if each.init:
                default = "_nothing"
                if each.factory is None:
                    known[f"_preset_{name}"] = each.preset
                    default = f"_preset_{name}"
                bare = each.factory is None and each.preset is NOTHING
                (named if each.kw_only else placed).append(alias if bare else f"{alias}={default}")
            elif each.factory is None:
                known[f"_preset_{name}"] = each.preset
                value = f"_preset_{name}"
            body.append(self._set(name, value, known))
        if hasattr(self.made, "__attrs_post_init__"):
            body.append("self.__attrs_post_init__()")
        parameters = ", ".join([*placed, *(["*", *named] if named else [])])
        return self._written(f"def __init__({parameters}):", body or ["pass"], known)

    def _set(self, name: str, value: str, known: dict[str, object]) -> str:
        if not self.frozen:
            return f"self.{name} = {value}"
        if not self.slots:
            return f"self.__dict__['{name}'] = {value}"
        known[f"_set_{name}"] = getattr(self.made, name).__set__
        return f"_set_{name}(self, {value})"

    def _eq(self) -> Callable[..., object]:
        same = " and ".join(f"self.{name} == other.{name}" for name in self._compared()) or "True"
        body = ["if other.__class__ is not self.__class__:", "    return NotImplemented", f"return {same}"]
        return self._written("def __eq__(self, other):", body, {})

    def _hash(self) -> Callable[..., object]:
        known: dict[str, object] = {"_class": hash(f"{self.made.__module__}.{self.made.__qualname__}")}
        parts = ", ".join(["_class", *(f"self.{name}" for name in self._compared())])
        return self._written("def __hash__(self):", [f"return hash(({parts},))"], known)

    def _order(self, name: str) -> Callable[..., object]:
        sign = {"__lt__": "<", "__le__": "<=", "__gt__": ">", "__ge__": ">="}[name]
        ones, others = ("".join(f"{of}.{n}, " for n in self._ordered()) for of in ("self", "other"))
        body = ["if other.__class__ is not self.__class__:", "    return NotImplemented"]
        return self._written(f"def {name}(self, other):", [*body, f"return ({ones}) {sign} ({others})"], {})

    def _compared(self) -> list[str]:
        return [name for name, each in self.fields.items() if each.eq]

    def _ordered(self) -> list[str]:
        return [name for name, each in self.fields.items() if each.order]

    def _written(self, head: str, body: list[str], known: dict[str, object]) -> Callable[..., object]:
        """A method from its text. Only names of fields stand in it; all values are `known` to it by a name."""
        text = "\n    ".join([head, *body])
        exec(compile(text, f"<{self.made.__qualname__}>", "exec"), known)
        name = head.removeprefix("def ").partition("(")[0]
        method = known[name]
        assert isinstance(method, FunctionType)
        method.__qualname__, method.__module__ = f"{self.made.__qualname__}.{name}", self.made.__module__
        return method
