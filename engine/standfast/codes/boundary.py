"""Codes of the boundary book: a clause it cannot show, and a log on which the two programs differ."""

from standfast.codes.code import Code

NO_PAIR = Code(
    "D120",
    "a clause with no boundary pair",
    "no log shows `{words}` {side}: {why}",
    ("change the clause or what stands in its way; `proof` says which clauses can never act",),
    "For every number of a standard there should be a log that just meets it and one that just misses it, for every"
    " fault one that triggers it, for every event one that passes. Where one of them is missing, the clause cannot be"
    " tried on a log, and so its number cannot be taught, trained or protested against. Where it is proved that there"
    " is none, another clause always acts before; otherwise none was found within the bounds of the search.",
    severity="doubt",
)
BOOK_DISAGREEMENT = Code(
    "C391",
    "the two readings of the rules disagree about a log of the boundary book",
    "the grader and its written definition judge the log `{name}` differently: {found}, and {expected}",
    ("this is a fault of standfast, not of the standard: please report it with this file",),
    about="Every log of the boundary book is judged twice, by two programs written apart from one another. That they"
    " differ is a fault of standfast. No verdict under this standard should be relied on until it is mended.",
)
