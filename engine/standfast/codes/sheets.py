"""Codes of a session log kept as a table of cells (CSV)."""

from standfast.codes.code import Code

NO_HEAD_ROW = Code(
    "L476",
    "no head row",
    "no row that names columns, {found}",
    ("write the header lines, then a row such as `at,mark,value,candidate,by,note`, then one entry a row",),
    about="The first row of a log's table names its columns, in any order; from it the separator is known, a comma, a "
    "semicolon or a tab. Above it stand lines such as `# session: S-1`.",
)
UNKNOWN_COLUMN = Code(
    "L477",
    "unknown column",
    "unknown column `{name}`",
    ("write `{near}`, if that is meant", "use only these: {known}"),
    about="A column that is not known may hold something that matters, so it is not passed over.",
)
COLUMN_TWICE = Code(
    "L478",
    "column twice",
    "a second column `{name}`",
    ("keep the one that is right",),
    about="Of two cells for one thing none can be preferred without guessing.",
)
MISSING_COLUMN = Code(
    "L479",
    "missing column",
    "no column `{name}` in the head row",
    ("add the column",),
    about="An entry has a time and a mark, so a table of entries has both columns.",
)
CELL_TOO_MANY = Code(
    "L480",
    "cell of no column",
    "the cell `{text}` stands in no column that has a name",
    ("put double quotes around a cell that has the separator in it, or name its column in the head row",),
    about="A cell outside the named columns may hold something that matters. Often it is the rest of a note with a "
    "comma in it that was not put in quotes.",
)
QUOTE_NOT_CLOSED = Code(
    "L481",
    "quote not closed",
    "a cell opens with a double quote that is not closed within {limit} characters",
    ("close it, and double each quote that stands inside",),
    about="A cell in quotes goes to its closing quote, over line ends too (RFC 4180). What follows one that is not "
    "closed cannot be told into cells, so nothing after it was read.",
)
AFTER_QUOTE = Code(
    "L482",
    "text after a quote",
    "found `{text}` after the closing quote of a cell",
    ("double each quote that stands inside the cell",),
    about="A cell that opens with a double quote ends with it; inside it a quote is written twice (RFC 4180).",
)
REWRITTEN = Code(
    "L483",
    "times a spreadsheet rewrote",
    "{count} of {whole} times without decimals, on lines {first} to {last}, are like `{text}`, with no seconds: "
    "a spreadsheet took minutes for hours",
    ("type each of these times anew with a decimal, `0:40.0`, in cells that are formatted as text",),
    about="A spreadsheet takes `0:40` for forty minutes past midnight and saves `00:40:00`. Whether that was meant is "
    "not guessed, also where some of the times were put right and most were not. A time with a decimal is left alone.",
)
NO_PAIR = Code(
    "L484",
    "header line without a key and a value",
    "the header line `{text}` has no key and value",
    ("write it as `# session: S-1`, with a colon between",),
    about="Above the table each line says one thing of the header: `# key: value`.",
)
ROW_CUT_OFF = Code(
    "L485",
    "last row cut off",
    "the last row looks cut off: it has no line end and {count} of {wanted} cells",
    ("fetch the whole file again, or complete the row by what the grader knows",),
    about="A log that was copied or sent while it was being written may end in the middle of a row. What the rest of "
    "it said is not guessed.",
)
