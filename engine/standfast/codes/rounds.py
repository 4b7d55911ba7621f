"""Codes of rounds: what a standard, a case or a log says of them that means nothing, or more than one thing."""

from standfast.codes.code import Code

# --- the rounds of a standard ----------------------------------------------------------------------------

NO_ROUNDS = Code(
    "M350",
    "rounds without a round",
    "`{name}` does not say what its rounds are",
    ("add a line such as `5 rounds`, `at 1.91 m, 1.93 m` or `level 1: shuttle 1 to 7`",),
    "Rounds are levels and their shuttles, a row of heights or lengths, or a number of rounds.",
)
ROUNDS_MIXED = Code(
    "M351",
    "rounds of two kinds",
    "rounds are written in two ways, here as `{words}`",
    ("write all of them as levels, all as measures, or one number of rounds",),
    "A round has one name, by which a log cites it, so all rounds of a clause are named in one way.",
)
ROUND_TWICE = Code(
    "M352",
    "a round twice, or out of its turn",
    "`{words}` does not come after the rounds before it",
    ("number the levels upwards, and name each height or length once",),
    "Rounds are tried in the written order and a log cites each by its name, so a name may not come twice. The "
    "numbers of levels and of the rounds in them run upwards.",
)
TOO_MANY_ROUNDS = Code(
    "M353",
    "too many rounds",
    "`{name}` has {number} rounds, more than {most}",
    ("leave out the rounds that nobody reaches",),
    "The rounds of one clause are explored one by one, so their number has an end.",
)
OTHER_MEASURES = Code(
    "M354",
    "rounds in two kinds of measure",
    "`{amount}` is {found}, the first round is {expected}",
    ("give all rounds in one kind of measure",),
    "Rounds are told apart by one measure: a height, a length, a mass.",
)
ROUNDS_IN_ROUNDS = Code(
    "M355",
    "rounds inside rounds",
    "`{name}` stands inside other rounds",
    ("write a step with a number of marks, such as `until 10 pulls`, or put the rounds beside one another",),
    "A miss, a pass and the name of a round in a log belong to one clause with rounds, so none stands in another.",
)
NO_GOAL_NO_ITEMS = Code(
    "M356",
    "rounds with nothing to do",
    "the rounds `{name}` have neither a goal nor items",
    ("add a line with `until`, or a step",),
    "A round is made when its goal is reached, or when the last of its items is done.",
)
GOAL_AND_ITEMS = Code(
    "M357",
    "rounds with a goal beside items",
    "the rounds `{name}` have a goal of their own beside their items",
    ("put the goal into a step of its own",),
    "A round is made when its goal is reached, or when the last of its items is done, not by both.",
)
NO_ROUND_TO_CLOSE = Code(
    "M358",
    "a miss or a pass outside rounds",
    "`{effect}` is said where there are no rounds",
    ("put the line into a block of `rounds`, or write `note`, `restart` or `fail`",),
    "`miss` misses a try at the open round, `pass` lets it go by; outside rounds there is none.",
)
UNKNOWN_ROUND = Code(
    "M359",
    "no such round",
    "`{words}` is none of the rounds of `{name}`",
    ("the rounds run from `{first}` to `{last}`",),
    "A round is named as a log names it: `level 6 shuttle 10`, `1.93 m`, `round 3`.",
)
MORE_THAN_ROUNDS = Code(
    "M360",
    "more rounds than there are",
    "`{words}` is more than the {number} rounds of `{name}`",
    ("write a number that can be reached",),
    "A limit on rounds that no candidate can meet, or none can break, decides nothing.",
)

# --- marks that name a round -----------------------------------------------------------------------------

MARK_OF_NO_ROUNDS = Code(
    "M361",
    "a mark of a round outside rounds",
    "`{mark}` names a round, and stands outside the rounds it could name",
    ("put the line into the block of `rounds`, or declare the mark without `names a round`",),
    "A mark that names a round is counted only while its rounds are open, by the rules of those rounds and of "
    "what is in them. What opens them is a mark of its own.",
)
MARK_OF_TWO_ROUNDS = Code(
    "M362",
    "a mark of two kinds of rounds",
    "`{mark}` names a round of `{name}` here and of `{other}` elsewhere",
    ("declare a mark for each",),
    "An entry that names a round must say which: a mark belongs to one clause with rounds.",
)
BARE_ROUND = Code(
    "M363",
    "a round as a bare number",
    "`{value}` does not say which round of `{name}` is meant",
    ("write `{one}` or `{other}`", "write `{one}`", "write a round such as `{example}`"),
    "A spreadsheet turns 6.10 into 6.1, so a round is named in words, or by a measure with its unit.",
)
NOT_ROUNDS = Code(
    "M364",
    "a figure of rounds where there are none",
    "`{path}` is {found}, and `{figure}` is said of rounds",
    ("write the path of a block of `rounds`, as in `made in LADDER`",),
    "Rounds are made and missed in a block of `rounds`, and the furthest is the greatest one made there. A line of "
    "that block needs no path, any other line names the block.",
)

ROUND_BY_ANYONE = Code(
    "M365",
    "a mark of a round counted by anyone",
    "`{mark}` names a round, and entries of it are counted by anyone",
    ("take `, by anyone` away", "declare the mark without `names a round`"),
    "Each candidate has an open round of their own, so another's entry does not say which of this one's is meant.",
)

FIGURE_OF_A_ROUND = Code(
    "M366",
    "a figure of one round asked for outside it",
    "`{path}` stands in the rounds `{name}` and has a figure in every one of them",
    ("put the line inside the round, beside `{inner}`",),
    "What stands in a round begins anew with each round and each try, so a figure of it belongs to one try. A line "
    "of the rounds themselves or outside them would not say which.",
)

ROUNDS_ADDED = Code(
    "M367",
    "rounds added up",
    "`{figure}` adds up rounds as if they were numbers",
    ("write a limit on each, or add up how many were `made`",),
    "The furthest round is a place in its own row, such as `level 2 shuttle 1`. Two of them have no sum.",
)

ROUND_ROUNDED = Code(
    "M369",
    "a round that is rounded",
    "`{figure}` is a round, and only amounts are rounded",
    ("take `rounded` and what follows it away",),
    "The furthest round is a place in its row, such as `level 2 shuttle 1`, and there is none between two of them.",
)
ROUND_FOR_AMOUNT = Code(
    "M368",
    "a round for an amount",
    "`{words}` is a round, expected {expected}",
    ("write a number, with its unit if it has one",),
    "Rounds are compared with `furthest` only: how many were `made` or `missed` is a number, and what a mark measures "
    "is an amount.",
)

# --- a round in a log --------------------------------------------------------------------------------------

LOG_BARE_ROUND = Code(
    "L495",
    "a round as a bare number",
    "`{value}` does not say which round of `{name}` is meant by `{mark}`",
    ("write `{one}` or `{other}`", "write `{one}`", "write a round such as `{example}`"),
    "A spreadsheet turns 6.10 into 6.1, so a round is named in words, or by a measure with its unit.",
)
LOG_UNKNOWN_ROUND = Code(
    "L496",
    "no such round",
    "`{value}` is none of the rounds of `{name}` that `{mark}` can name",
    (
        "write `{near}`, if that is meant",
        "write a round such as `{example}`, or leave the value out for the open one",
    ),
    "A mark that names a round has its name as a value, `level 6 shuttle 10`, or none for the round now open.",
)
