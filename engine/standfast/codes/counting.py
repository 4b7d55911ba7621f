"""Codes of whose entries are counted, of starts that are counted, and of items only owed if begun."""

from standfast.codes.code import Code

NOT_IN_ANY_ORDER = Code(
    "M258",
    "`only if begun` outside `in any order`",
    "`{name}` is `only if begun` and no item of a group `in any order`",
    ("take the line out, or make `{name}` an item of a group `in any order`",),
    "Items that come in order, or of which one is chosen, are done when it is their turn. Only beside others, side by "
    "side, can an item be one that is owed if it has begun, and else not.",
)
BEGUN_WITHOUT_START = Code(
    "M259",
    "`only if begun` without a start",
    "`{name}` is `only if begun` and has no start mark",
    ("add a line with `start on` or `start with first`",),
    "Without a start mark an item of `in any order` begins with its group, so that it would always be owed.",
)
NOTHING_OWED = Code(
    "M249",
    "a group in which nothing is owed",
    "every item of `{name}` is `only if begun`",
    ("take `only if begun` out of one of them",),
    "A group is complete when what it owes is done. If it owed nothing, it would be complete as soon as it begins.",
)
WHOSE_WITHOUT_NUMBER = Code(
    "M276",
    "whose entries are counted, without a number",
    "`{words}` stands on a line that counts no number of marks",
    ("write a number before the mark, or `more than N times` after it", "take `{words}` out"),
    "`once a grader` and `by anyone` say whose entries a number of marks counts: in `until 2 MARK`, `within 2 MARK`, "
    "`before 2 MARK`, `at least 2 MARK`, and after `more than 2 times`.",
)
FIRST_COUNTED = Code(
    "M277",
    "a first act after others",
    "`start with first` begins with the very first, and `more than {times}` with a later one",
    ("write `start on {mark} more than {times}`",),
    "`start with first` is for the first act itself, which is judged in the clause it opens. A clause that begins "
    "only after so many marks waits for a signal: `start on`.",
)
NO_GRADER = Code(
    "M299",
    "an entry that does not say by whom",
    "`{mark}` is counted once a grader and is logged without its grader",
    ("write `by` and the grader's id at the end of the line, as in `{mark} by G-1`",),
    "With `once a grader` one entry of each grader counts, so every entry of the mark says who gave it.",
)
