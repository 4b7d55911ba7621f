"""Codes of log sheets to be filled in: what is left blank in them, and the rosters they are made for."""

from standfast.codes.code import Code

UNKNOWN_ORDER = Code(
    "L486",
    "order of rows that is not known",
    "the rows are said to be in the order `{text}`",
    ("write `# order: by candidate`, or take the line out where the rows stand in the order of time",),
    about="The rows of a table stand in the order in which things happened. One that was printed to be filled in has the "
    "rows of each candidate together and says so, and is read in the order of its times.",
)
TIME_NOT_FILLED_IN = Code(
    "L487",
    "time not filled in",
    "`{text}` is filled in under `{column}`, and the time is still `_`",
    ("fill in the time, such as `0:40.0`, or empty what was filled in beside it",),
    about="A row of a printed sheet whose time is `_` was not seen and is left out. In one that has anything else filled "
    "in the time was forgotten, and what was seen is not passed over.",
)
CORRECTED_BY_NUMBER = Code(
    "L498",
    "correction where numbers move",
    "`{word}` corrects an entry by its number, and with `# order: by candidate` numbers move when a row is filled in",
    ("sort the rows by their times, take `# order: by candidate` out, and look the numbers up again",),
    about="Entries are numbered in the order of their times. Where the rows of each candidate stand together another row "
    "filled in gives all later ones another number, so a correction could come to be of another candidate's entry.",
)
NO_CANDIDATES = Code(
    "L488",
    "roster without candidates",
    "no candidate in the roster, {found}",
    ("write a row that names columns, one of them `candidate`, then a row for each candidate",),
    about="A roster is a table (CSV) with a column `candidate` and, where the standard asks something about candidates, "
    "a column for each such fact.",
)
UNKNOWN_COLUMN = Code(
    "L489",
    "unknown column of a roster",
    "the roster has a column `{name}`, which is no fact that `{standard}` asks for",
    ("write `{near}`, if that is meant", "take the column out; known are {known}"),
    about="What stands in a column that is not known may matter, so it is not passed over.",
)
SHEET_IS_THERE = Code(
    "F523",
    "a sheet that is there already",
    "`{name}` is there already, and may be filled in",
    ("name another file, or take that one away yourself",),
    about="A log sheet is never written over a file: what was filled in by hand is the only record of what was seen.",
)
