"""Codes of reading and meaning for watches, whose readings are joined to one: R174, M31x."""

from standfast.codes.code import Code

NO_SUCH_PICK = Code(
    "R174",
    "unknown pick of readings",
    "found `the {found}`, expected which of the readings counts",
    ("did you mean `the {near}`?", "write `first`, `middle`, `mean`, `longer`, `shorter`, `larger` or `smaller`"),
    "Where several people read one thing, a rule says which reading counts: `of 3 the middle, of 2 the longer`.",
)
ONE_NUMBER_TWICE = Code(
    "M311",
    "two rules for one number of readings",
    "`{mark}` says twice what counts of {number} readings",
    ("take one of the two away",),
    "For each number of readings there is one rule.",
)
NO_MIDDLE = Code(
    "M312",
    "no reading in the middle",
    "of {number} readings none is in the middle",
    ("write `of {number} the mean` with a rounding, or the reading that counts: `longer`, `shorter`, `first`",),
    "Only an odd number of readings has one in the middle. Two that agree of three are the middle in any case.",
)
MEAN_NOT_ROUNDED = Code(
    "M313",
    "mean that is not rounded",
    "`{mark}` takes a mean and does not say how it is rounded",
    (
        "say it after the last of the numbers, as in `{mark} in {unit}, of {number} the mean, rounded down to 0.01 {unit}`",
    ),
    "The mean of 58.21 s and 58.24 s is 58.225 s, which no watch shows and no result list can hold. What becomes of the "
    "last digit differs from rule book to rule book, so the standard says it.",
)
OTHER_PICK = Code(
    "M314",
    "longer or larger",
    "`{found}` is said of `{mark}`, which is measured in {unit}",
    ("write `{near}`",),
    "Times are longer or shorter, masses and speeds larger or smaller, lengths are either.",
)
NO_WATCH = Code(
    "M315",
    "reading of a mark that is read once",
    "`{mark}` does not say which of several readings counts",
    ("declare it so, as in `{mark} in {unit}, of 3 the middle`, or write `last of {mark}`",),
    "`reading of` joins several readings of one thing by the rule of the mark's own line.",
)
