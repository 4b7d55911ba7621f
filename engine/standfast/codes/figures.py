"""Codes of meaning for figures and the limits on them: M30x."""

from standfast.codes.code import Code

UNMEASURED = Code(
    "M301",
    "figure of values that are not measured",
    "`{figure}` is worked out from measured values, and `{mark}` has none",
    ("declare the mark with a unit, `{mark} in kg`, or count it: `count of {mark}`",),
    "Totals, the largest, the smallest, each and the last are figures of a mark's measured values.",
)
NO_SUCH_CLAUSE = Code(
    "M302",
    "figure of an unknown clause",
    "there is no clause `{name}` inside `{around}`",
    (
        "did you mean `{near}`?",
        "name an event, a group or a step that stands inside the clause with this line, by its path",
    ),
    "A figure belongs to the clause with the line, or to one inside it: the path is that clause's own, or begins "
    "below the clause with the line. In `always` it is the path of any clause.",
)
UNLIKE_FIGURES = Code(
    "M303",
    "figures that cannot be added",
    "`{figure}` adds {first} and {second}",
    ("add figures of one kind only, or write a limit for each",),
    "`plus` adds two figures of one kind: times to times, counts to counts, masses to masses.",
)
NOT_ADDED = Code(
    "M304",
    "figure that stands alone",
    "`{figure}` can be no part of a sum and belong to no other clause",
    ("write the limit in the clause whose figure it is, without `plus` and `in`",),
    "`each` is judged at every entry, and a rate is no amount: neither can be added up or looked back at.",
)
DECIDES_NOTHING = Code(
    "M305",
    "limit that decides nothing",
    "`{words}` {found}",
    ("write the number that the rule is about",),
    "No figure is ever below nought: at least 0 is always met, and under 0 never.",
)
NOT_WHOLE = Code(
    "M306",
    "number of entries that is not whole",
    "`{found}` is not a whole number",
    ("entries are counted: write a whole number",),
    "What is counted is counted in whole numbers.",
)
