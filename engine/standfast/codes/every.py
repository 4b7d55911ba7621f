"""All codes by their numbers."""

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
