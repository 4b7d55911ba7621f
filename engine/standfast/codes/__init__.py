"""Every diagnostic code, a module for each stage that reports.

The first letter is the stage: R reading a standard, M its meaning, C its cases, L a log, F finding files,
P an error of proof, D a doubt, A an advice, K keeping records, G graders held against each other. A number is
never used again for something else.
"""

from standfast.codes.code import Code

TYPE_CHECKING = False  # as in `typing`, which takes long to load
if TYPE_CHECKING:
    from standfast.codes.every import CODES

__all__ = ["CODES", "Code"]


def __getattr__(name: str) -> object:
    """`CODES` are read when asked for: a stage uses those of its own module."""
    if name != "CODES":
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    from standfast.codes.every import CODES

    return CODES
