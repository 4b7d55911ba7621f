"""Value classes as `attrs` defines them, each part made when it is first used.

To whoever reads or checks types they are those of `attrs`; `making` tells how they are made.
"""

from standfast.values.making import names_of, parts_of, remade

TYPE_CHECKING = False  # as in `typing`, which takes long to load
if TYPE_CHECKING:
    from attrs import asdict, define, evolve, field, frozen
else:
    from standfast.values.making import asdict, define, evolve, field, frozen

__all__ = ["asdict", "define", "evolve", "field", "frozen", "names_of", "parts_of", "remade"]
