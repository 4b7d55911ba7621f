"""Codes of the corrections of a session log."""

from standfast.codes.code import Code

NO_SUCH_ENTRY = Code(
    "L423",
    "correction of an entry that is not there",
    "a correction of {what}, {found}",
    ("name the entry that is meant by its number: the first line after the header is entry 1",),
    about="A correction names an entry that stands before it in the log. Corrections, the header and the end are not "
    "counted; a struck entry is. A number that fits no entry is a slip, and which entry was meant is not guessed.",
)
NOT_A_NUMBER = Code(
    "L424",
    "no number of an entry",
    "found {found} for `{key}`, which takes the number of an entry or `end`",
    (
        "write a number such as `7`, or `end`, into the {cell} `{key}`",
        'write it as `"{key}":7`, or `"{key}":"end"`',
    ),
    about="Entries are numbered from 1 in the order of the file. `end` is the end of the session that stands before "
    "the correction.",
)
AMENDS_NOTHING = Code(
    "L425",
    "amendment of nothing",
    "an `amend` that names nothing to be replaced",
    ("say what is right: {known}",),
    about="An `amend` replaces what it names: the keys it has beside those that say by whom and why.",
)
STRUCK_BEFORE = Code(
    "L426",
    "correction of a struck entry",
    "a correction of {what}, which is struck",
    (
        "take this strike out, or name the entry that is meant",
        "to put it back say it whole, with its {whole}; else name the entry that is meant",
    ),
    about="What is struck is struck once. An `amend` puts a struck entry back only if it says it whole, with its time "
    "and mark (and who joins or leaves), so that a slip of the number never brings back what was taken out.",
)
AMENDS_PRESENCE = Code(
    "L427",
    "amendment that does not fit",
    "an `amend` of {what}, a `{how}`, that says `{key}`",
    ("say its `at` or its `candidate`; if it should have been a mark, strike it and log the mark",),
    about="That a candidate joins or leaves is no mark, so an amendment can give it another time and another "
    "candidate only.",
)
