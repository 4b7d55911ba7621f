"""Codes of proof: what holds for every log of a standard and its author may not have meant.

P is an error, D a doubt, which `accept CODE "why"` in the block turns into an accepted one, A an advice.
"""

from standfast.codes.code import Code

NOBODY_PASSES = Code(
    "P101",
    "an event nobody can pass",
    "no log passes `{name}`",
    (
        "without `{culprit}` it could be passed; change it or what it stands in the way of",
        "change the limits that contradict each other",
    ),
    "Every possible log was looked at, and in none of them does an attempt at this event end GO. Two of its limits"
    " contradict each other (not before 3 min, within 2 min), or a fault always forestalls a goal.",
)
NEVER_ACTS = Code(
    "D101",
    "a fault that can never act",
    "`{words}` can never act here",
    (
        "without `{culprit}` it could; change one of the two, or leave one out",
        "leave the line out, or change what forestalls it",
    ),
    "Whatever is logged, this line never does anything: a graver fault takes its mark each time, the clause it stands"
    " in cannot be open when its mark counts, or a limit ends the clause before.",
    severity="doubt",
)
IDLE_LIMIT = Code(
    "D102",
    "a limit that can never be broken",
    "`{words}` can never be broken here",
    (
        "without `{culprit}` it could; change one of the two, or leave one out",
        "leave the line out, or change its number",
    ),
    "Another limit or the goal itself makes this one idle: before it could be broken, the other has ended the clause"
    " (within 90 s and within 60 s on one step).",
    severity="doubt",
)
NOBODY_REACHES = Code(
    "D103",
    "a clause nobody can reach",
    "no log comes to `{name}`",
    ("mend what stands before it: `{culprit}`", "mend what stands before it"),
    "Every possible log was looked at, and in none of them does this clause begin.",
    severity="doubt",
)
WAITS_FOR_EVER = Code(
    "D104",
    "a clause that may wait for ever",
    "`{name}` may wait for ever",
    (
        "under `{carry_on}` no limit of the event ends it: give `always` a limit such as `within 2 h`",
        "give it or what is around it a limit such as `within 5 min`",
    ),
    "Nothing ends the clause if its mark never comes: no limit of its own, of a clause around it or of the whole test."
    " The candidate can be kept at it, or keep the staff at it, without end.",
    severity="doubt",
)
GOES_ON_FOR_EVER = Code(
    "D105",
    "an attempt that may go round for ever",
    "`{words}` lets an attempt go round for ever",
    (
        "under `{carry_on}` no limit of the event ends it: give `always` a limit such as `within 2 h`",
        "give the restart a greatest number, `, at most twice`, or what is around it a time limit",
    ),
    "A way was found on which an attempt comes back to where it was, only later, and nothing stops it from doing so"
    " again: a restart without a greatest number, or a mark that puts every deadline off.",
    severity="doubt",
)
FORESTALLED = Code(
    "D106",
    "a goal or start that can never be reached",
    "`{words}` can never come about here",
    (
        "without `{culprit}` it could; change one of the two",
        "change the goal, or what ends the clause before",
    ),
    "The clause can be reached, but its goal (or its start mark) never counts: a fault always acts on the same mark,"
    " and an entry on which something graver than a note acted can do nothing else; or a limit always ends the clause"
    " before.",
    severity="doubt",
)
TWO_FAULTS = Code(
    "D107",
    "two faults of different gravity on one mark",
    "one entry triggers `{graver}` and `{milder}`",
    ("leave the milder out, or say with a value or a number when each is meant; only the graver acts",),
    "Of the faults an entry triggers the gravest acts and the others do nothing. Here an entry was found that triggers"
    " two of different gravity.",
    severity="doubt",
)
UNUSED_MARK = Code(
    "D108",
    "a mark that is declared and never used",
    "no rule names the mark `{name}`",
    ("leave the mark out, or write the rule it was meant for",),
    "A grader would log it and nothing would come of it.",
    severity="doubt",
)
UNUSED_FACT = Code(
    "D130",
    "a fact that is declared and never used",
    "no rule names the fact `{name}`",
    ("leave the fact out, or write the rule it was meant for",),
    "It would be asked of every candidate and nothing would come of it.",
    severity="doubt",
)
ANYBODY_PASSES = Code(
    "D109",
    "a step that any log passes",
    "any log passes `{name}`: nothing can go wrong in it",
    ("say what fails it, for example `fail on MARK`, or make it a rest",),
    "The step completes by time alone, and while it is open no rule of the event can act, whatever is logged.",
    severity="doubt",
)
START_TWICE = Code(
    "D110",
    "one start mark used twice on the way in",
    "`{mark}` must be logged again to begin `{name}`: the first one began `{around}`",
    ("leave one of the two starts out, or use two marks",),
    "A mark that opens a clause is consumed by it. The item inside then waits for the same mark once more, which few"
    " authors mean.",
    severity="doubt",
)
CLOCK_OF_GROUP = Code(
    "D111",
    "a time limit on an item of a group in any order",
    "the clock of `{words}` begins with the group `{around}`, not with the candidate's turn at `{name}`",
    ("give `{name}` a start mark, or put the limit on the group",),
    "Items of a group in any order run side by side. One without a start mark begins with the group, so its clock also"
    " runs while the candidate is busy with the others.",
    severity="doubt",
)
COUNT_WITHOUT_TIME = Code(
    "D112",
    "a counted limit with no time limit",
    "after the last `{mark}` that `{words}` allows the candidate may wait for ever",
    (
        "under `{carry_on}` no limit of the event ends it: give `always` a limit such as `within 2 h`",
        "give the clause a time limit as well",
    ),
    "A counted limit is broken by the mark beyond it, not by the last one allowed, since the result of that one may"
    " still be logged. A candidate who makes no more of them is neither passed nor failed.",
    severity="doubt",
)
REST_BEFORE_GROUP = Code(
    "D113",
    "a rest before a group whose first step has the start mark",
    "`{words}` is over by time alone: `{name}` has no start mark, only `{inner}` inside it",
    ("move the start mark to `{name}`",),
    "A rest ends at the start mark of the item right after it. The mark of a step inside that item does not end it, so"
    " the rest lasts exactly its least length and its breach cannot happen.",
    severity="doubt",
)
START_NOT_COUNTED = Code(
    "D114",
    "a start mark that its own clause counts",
    "the `{mark}` that begins `{name}` is not counted by `{words}`",
    ("write `start with first {mark}` if it is the first of them",),
    "A `start on` mark is a signal and is consumed by the clause it opens; `start with first` makes it the first act"
    " inside.",
    severity="doubt",
)
CLOCK_RUNS_AGAIN = Code(
    "D115",
    "a restart of a clause with a clock and no start mark",
    "`{words}` starts the clock of `{clock}` again at the fault itself",
    ("give `{name}` a start mark, or write `restart at once` if that is meant",),
    "Without a start mark a clause that is put back begins at that instant, and its time runs again from the fault.",
    severity="doubt",
)
OTHER_VALUES = Code(
    "D116",
    "a value waited for, and no rule for the others",
    "no rule uses `{mark}` with another value than `{words}` asks for",
    ("write what another value does, for example `{example}`",),
    "The wrong value is a remark and the clause waits on. If it is a fault, a rule must say so.",
    severity="doubt",
)
CLOCK_AT_GOAL = Code(
    "D117",
    "a time to be held that begins at the goal before it",
    "the time of `{words}` runs from the instant `{before}` is done",
    ("give `{name}` a start mark, if the candidate needs time to get ready",),
    "A `for` without a start mark begins as soon as the item before it is complete, without a moment to settle.",
    severity="doubt",
)
LIVE_IN_REST = Code(
    "D118",
    "a fault that is live during a rest",
    "`{words}` also acts during `{rest}`",
    ("move the fault into the steps it is meant for",),
    "The clause around a rest stays open while the rest lasts, and with it its faults.",
    severity="doubt",
)
ALWAYS_CLOCK = Code(
    "D119",
    "a time limit on the whole test",
    "`{words}` includes every break and all waiting between events",
    ("put the limit on the events, if breaks are not meant",),
    "A limit in `always` runs from the first opening of an attempt to the end of the test.",
    severity="doubt",
)
BREACH_BY_NOBODY = Code(
    "D121",
    "a breach of a rest that no mark ends",
    "`{words}` cannot be breached: `{name}` has no start mark",
    ("leave out `, else` and what it does, or give `{name}` a start mark",),
    "A rest before an item without a start mark lasts exactly its least length, and the item then begins by itself:"
    " nobody can come too early or stay away too long. Only a rest that a start mark ends can be breached.",
    severity="doubt",
)
MEET_AT_ONE_AMOUNT = Code(
    "D122",
    "a goal and a fault that meet at one amount",
    "exactly `{amount}` is both `{words}` and `{fault}`, and the fault acts",
    ("write `{instead}` if that amount is good enough", "leave that amount out of one of the two"),
    "`at least`, `at most` and `from A to B` count their ends, `over` and `under` leave them out. Where a goal ends and a"
    " fault begins at one number, both hold of that number, and a fault comes before a goal.",
    severity="doubt",
)
ROW_NEVER_GIVES = Code(
    "D123",
    "a row that never gives its points",
    "no log comes down to `{words}`",
    ("leave the row out, or change its end or what keeps the figure from it",),
    "Every way through the event was looked at, and the score's figure never fits this row when the clause completes: the"
    " rows above take what could fit it, or a limit ends the clause before.",
    severity="doubt",
)
GRADE_OUT_OF_REACH = Code(
    "D124",
    "a grade that no log reaches",
    "no log reaches the grade `{name}`: `{words}`, and there are never {found}",
    ("change the limit, or the points that the rows give",),
    "The rows that can give points were added up: the most, or the least, that a GO can have lies on the wrong side of"
    " this limit.",
    severity="doubt",
)
GRADE_COVERED = Code(
    "D125",
    "a grade that the one above covers",
    "whenever `{name}` is met, so is `{above}` above it, which is then given",
    ("ask for more in `{above}`, or leave one of the two out",),
    "A GO is given the first grade from the top that is met. Each limit of the higher grade here follows from one of the"
    " lower, so the lower is never given.",
    severity="doubt",
)
MIXED_UNITS = Code(
    "A101",
    "two units of one dimension",
    "both `{unit}` and `{other}` are used for {dimension}",
    ("write one of them throughout: graders read the sheet aloud",),
    "The conversion is exact, so no verdict is wrong; but a sheet with two units for one thing invites mistakes.",
    severity="advice",
)
NOTHING_TO_ACCEPT = Code(
    "A102",
    "an acceptance of what is not doubted",
    "`accept {code}`: nothing here has that code",
    ("leave the line out",),
    "An acceptance that no longer meets a finding only hides the next one.",
    severity="advice",
)
