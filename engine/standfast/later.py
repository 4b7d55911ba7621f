"""Rows of a verdict that are worked out when they are first looked at: most are never, where logs are many."""

from collections.abc import Callable, Iterable, Iterator, Sequence

TYPE_CHECKING = False  # as in `typing`, which takes long to load
if TYPE_CHECKING:
    from typing import Any, TypeVar, overload

    T_co = TypeVar("T_co", covariant=True)


class Later(Sequence["T_co"]):
    """A tuple to all who look: equal to one, of its hash, written and pickled as one.

    INVARIANT: `make` gives the same whenever it is asked; what it reads is changed by nobody any more.
    """

    __slots__ = ("_make", "_row")

    def __init__(self, make: "Callable[[], Iterable[T_co]]") -> None:
        self._make: Callable[[], Iterable[T_co]] | None = make
        self._row: tuple[T_co, ...] = ()

    def _made(self) -> "tuple[T_co, ...]":
        if self._make is not None:
            self._row = tuple(self._make())
            self._make = None
        return self._row

    if TYPE_CHECKING:

        @overload
        def __getitem__(self, place: int) -> T_co: ...
        @overload
        def __getitem__(self, place: slice) -> tuple[T_co, ...]: ...

    def __getitem__(self, place: int | slice) -> "T_co | tuple[T_co, ...]":
        return self._made()[place]

    def __len__(self) -> int:
        return len(self._made())

    def __iter__(self) -> "Iterator[T_co]":
        return iter(self._made())

    def __eq__(self, other: object) -> bool:
        return self._made() == (other._made() if isinstance(other, Later) else other)

    def __hash__(self) -> int:
        return hash(self._made())

    def __repr__(self) -> str:
        return repr(self._made())

    def __reduce__(self) -> "tuple[Any, ...]":
        return tuple, (self._made(),)
