"""Every diagnostic code, a module for each stage that reports.

The first letter is the stage: R reading a standard, M its meaning, C its cases, L a log, F finding files,
P an error of proof, D a doubt, A an advice. A number is never used again for something else.
"""

from standfast.codes import (
    best,
    boundary,
    cases,
    counting,
    doubts,
    facts,
    figures,
    files,
    log,
    meaning,
    reading,
    rounding,
    rounds,
    scores,
    watches,
)
from standfast.codes.code import Code

__all__ = ["CODES", "Code"]

CODES: dict[str, Code] = {
    code.number: code
    for module in (
        reading,
        rounding,
        meaning,
        figures,
        watches,
        best,
        counting,
        scores,
        facts,
        rounds,
        cases,
        log,
        files,
        doubts,
        boundary,
    )
    for code in vars(module).values()
    if isinstance(code, Code)
}
