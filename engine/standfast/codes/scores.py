"""Codes of scores, points and grades: R18x and M37x."""

from standfast.codes.code import Code

PRINTED_ROW = Code(
    "R180",
    "row copied from a printed table",
    "which row has `{second}` itself, this one or the next?",
    ("write `under {second} gives {points}`, or `at most {second} gives {points}` if it is this row",),
    "Printed tables give each row two ends, and the end of one is the beginning of the next: what lies on it is in "
    "both rows or in none. Rows are tried from the top, so one end is enough: `under 6 min 30 s gives 5`, then "
    "`under 8 min 40 s gives 4`. Where more is better: `at least 10 gives 5`, then `at least 8 gives 4`.",
)
ROW_IN_TWO = Code(
    "M370",
    "two rows with one amount",
    "which row has `{point}` itself? this one and `{other}` both do",
    ("write `under` or `at most` with the greater end of each row, and leave the smaller one away",),
    "A row of a table has one end, since the rows above it have taken what lies beyond the other: `under 6 min 30 s "
    "gives 5`, then `under 8 min 40 s gives 4`. Where more is better: `at least 10 gives 5`, then `at least 8 gives 4`.",
)
HOLE = Code(
    "M371",
    "hole between two rows",
    "no row has what lies between `{low}` and `{high}`",
    (
        "give each row one end and write the rows from the top: `under` or `at most` where less is better, `over` or "
        "`at least` where more is",
    ),
    "A row of a table has one end, and takes what the rows above it have left. So nothing can lie between two rows.",
)
ROW_OF_TWO_ENDS = Code(
    "M372",
    "row with no single end",
    "`{row}` is not open to one side",
    (
        "write the rows from the top, each with one end: `under` or `at most` where less is better, `over` or `at "
        "least` where more is",
    ),
    "Rows are tried from the top, and each takes what the ones above have left.",
)
OTHER_SIDE = Code(
    "M373",
    "rows open to both sides",
    "`{row}` is open to the other side than `{first}`",
    ("write all rows of one table with `under` and `at most`, or all with `over` and `at least`",),
    "A table goes one way: from the top either the smallest come first or the greatest.",
)
NOT_FURTHER = Code(
    "M374",
    "row that takes nothing",
    "`{before}` above has all that `{row}` could take",
    ("put the rows in the order of their ends; where less is better the smallest end comes first",),
    "Rows are tried from the top and the first that fits gives the points, so each must reach beyond the one above.",
)
NO_OTHERWISE = Code(
    "M375",
    "score without `otherwise`",
    "the score of `{name}` does not say what becomes of what no row fits",
    ("end it with `otherwise gives 0`, or with `otherwise fails`",),
    "Every completed clause gets its points or fails: nothing is left open.",
)
AFTER_OTHERWISE = Code(
    "M376",
    "row below `otherwise`",
    "`{row}` stands below `otherwise`, where nothing is left",
    ("put `otherwise` last, and once only",),
    "Rows are tried from the top, and `otherwise` takes all that they leave.",
)
FIGURE_TWICE = Code(
    "M377",
    "row with a figure of its own in a table",
    "`{row}` names a figure, and so does `score from {figure}`",
    ("take the figure out of the row, or take `from {figure}` away and give each row its figure",),
    "The rows of one table are all of one figure.",
)
NO_FIGURE = Code(
    "M378",
    "row without a figure",
    "`{row}` does not say of what figure",
    ("write `score from` and the figure, or give the row its own, such as `time {row}`",),
    "A row tests a figure: that of the table, or its own.",
)
NO_SCORED_FIGURE = Code(
    "M379",
    "figure that gives no points",
    "`{figure}` cannot be what a score is worked out from",
    ("score another figure, such as `count of MARK` or `last of MARK`",),
    "`each` is judged at every entry and has no one value when a clause completes; points come from scores and "
    "give no other points.",
)
NO_POINTS = Code(
    "M380",
    "points where none are given",
    "there is no score in `{name}`, so it has no points",
    ("write a `score` in it or in a clause inside it",),
    "The points of a clause are those of its own score and of the scores inside it.",
)
SCORE_TWICE = Code(
    "M381",
    "two scores in one clause",
    "`{name}` has a second score",
    ("make one table of the two, give each a step of its own, or write `for` and a band of candidates on each",),
    "The points of a clause are those of its one score and of the scores inside it. Several tables are for different "
    "candidates.",
)
GRADE_TWICE = Code(
    "M382",
    "grade declared twice",
    "there is already a grade `{name}`",
    ("choose another name for one of them",),
    "Each grade has a name of its own.",
)
EMPTY_GRADE = Code(
    "M383",
    "grade without a limit",
    "`{name}` asks for nothing",
    ("write a limit in it, such as `points at least 8`",),
    "A grade is met when each of its limits holds. What every GO has needs no grade.",
)
LOWER_ASKS_MORE = Code(
    "M384",
    "lower grade that asks for more",
    "`{name}` stands below `{above}` and asks for more: `{words}`, not `{other}`",
    ("put the grades in order, the highest first",),
    "A GO is given the first grade from the top that is met, and the lowest one must be met.",
)
UNKNOWN_GRADE = Code(
    "M385",
    "unknown grade",
    "there is no grade `{name}`",
    ("did you mean `{near}`?", "declare it in a block: `grade {name}`"),
    "A case can only ask for a grade that the standard gives.",
)
IN_ROUND = Code(
    "M389",
    "score inside a round",
    "the score of `{name}` stands inside `rounds`, which are gone through again and again",
    ("score the clause around the rounds, or a step beside them",),
    "A clause inside rounds completes once a round, and a clause has its points once.",
)
ROUNDED_TWICE = Code(
    "M390",
    "figure rounded twice",
    "`{figure}` is rounded already, where `{mark}` is declared",
    ("take one of the two away: what is rounded is rounded once",),
    "Rounding in two stages gives another result than rounding once (ISO 80000-1, annex B).",
)
NO_TABLE = Code(
    "M391",
    "candidates without a table",
    "no table of `{name}` is for a candidate with `{whom}`",
    (
        "let the bands of `{fact}` meet and reach to both ends, or add a table; one may have `otherwise fails` alone",
    ),
    "Every candidate has one table of a score that is written `for` bands: the bands of a measured fact meet without a "
    "gap, and every choice of a fact is in one of them.",
)
TWO_TABLES = Code(
    "M392",
    "candidates with two tables",
    "a candidate with `{whom}` has this table and that for `{other}`",
    ("let each band begin where the one before it ends: `under 30`, then `from 30 to 39`",),
    "Every candidate has one table of a score, so no two bands have a candidate in common.",
)
TWO_FACTS = Code(
    "M393",
    "tables told apart by two facts",
    "`{name}` has tables for bands of `{first}`, and this one for a band of `{fact}`",
    (
        "tell the tables of one clause apart by one fact, and put clauses with `only for` around them for the other",
    ),
    "The bands of one clause are all of one fact, so that it can be seen that they leave nobody out.",
)
SHARE = Code(
    "M388",
    "row or grade that depends on a fact",
    "`{words}` depends on a fact of the candidate",
    ("write a number here; a `score` may have a table `for` each band of a fact",),
    "The rows of a table and the limits of a grade are numbers, the same for every candidate who has them to meet.",
)
TOO_MANY_POINTS = Code(
    "M386",
    "too many points",
    "`{points}` is more than a row can give, which is {most}",
    ("write fewer points",),
    "Points are whole numbers up to 10000.",
)
EACH_IN_GRADE = Code(
    "M387",
    "limit that is judged too soon for a grade",
    "`{words}` is judged at every entry, and a grade when the test would be GO",
    ("write `largest of` or `smallest of`, or put the line in `always`",),
    "The limits of a grade are judged once, when the test would be GO.",
)
