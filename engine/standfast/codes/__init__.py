"""Every diagnostic code, a module for each stage that reports.

The first letter is the stage: R reading a standard, M its meaning, C its cases, L a log, F finding files,
P an error of proof, D a doubt, A an advice, K keeping records, G graders held against each other. A number is
never used again for something else.
"""

from standfast.codes import (
    agreement,
    best,
    boundary,
    cases,
    continued,
    corrections,
    counting,
    doubts,
    facts,
    figures,
    files,
    fill_in,
    log,
    log_facts,
    meaning,
    reading,
    record,
    rounding,
    rounds,
    scores,
    sheets,
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
        corrections,
        log_facts,
        sheets,
        fill_in,
        files,
        continued,
        doubts,
        boundary,
        record,
        agreement,
    )
    for code in vars(module).values()
    if isinstance(code, Code)
}
