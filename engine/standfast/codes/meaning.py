"""Codes of this stage: what a standard says that means nothing, or more than one thing.

M20x names and paths, M22x values, M23x numbers, M24x the header and the blocks, M25x clauses, M26x rests,
M27x faults, M28x what opens, M29x cases.
"""

from standfast.codes.code import Code

# --- names and paths -----------------------------------------------------------------------------------

UNKNOWN_MARK = Code(
    "M201",
    "unknown mark",
    "unknown mark `{name}`",
    ("write `{near}`, if that is meant", "declare it under `marks`"),
    "Every mark that a clause or a case names stands once under `marks`, with what it observes. After a number "
    "above one a mark may take a plural s.",
)
UNKNOWN_CHOICE = Code(
    "M202",
    "unknown choice",
    "`{name}` is no choice of `{mark}`",
    ("write `{near}`, if that is meant", "the choices are {choices}"),
    "A mark that `is one of` several choices is logged with one of them and with nothing else.",
)
MARK_TWICE = Code(
    "M203",
    "mark declared twice",
    "the mark `{name}` is declared twice",
    ("leave one of them out or give it another name",),
    "A mark is one thing that a grader can log, so its name stands once under `marks`.",
)
CHOICE_TWICE = Code(
    "M204",
    "choice named twice",
    "the choice `{name}` is named twice",
    ("leave one of them out",),
    "A choice stands once in a list of choices; a second one would mean nothing more.",
)
CONDITION_TWICE = Code(
    "M205",
    "condition stated twice",
    "the condition `{name}` is stated twice",
    ("put both ends on one line with `from` and `to`, or leave one of the lines out",),
    "One fact has one line in a block of conditions, so that a reason can cite it by its name.",
)
LABEL_TWICE = Code(
    "M206",
    "label given twice",
    "`{name}` names two clauses side by side",
    ("give one of them another name",),
    "A reason cites a clause by the labels on the way to it, so no two events, and no two items of one clause, "
    "may have the same one.",
)
PATH_TWICE = Code(
    "M207",
    "one path for two clauses",
    "`{path}` is the path of two clauses",
    ("give one of them a label of its own, with `as LABEL` at the end of a limit or a fault",),
    "A reason cites a clause by its path, and two editions are compared by it, so a path must lead to one clause "
    "only. `as LABEL` at the end of a limit or a fault replaces the last part of its path.",
)
TWO_KINDS_OF_CONDITION = Code(
    "M208",
    "one fact of two kinds",
    "`{name}` is {found} here and {expected} elsewhere",
    ("state it in one kind, or give one of them another name",),
    "A log states a fact once for the whole session, so all conditions on it must ask for the same kind of fact.",
)

# --- values --------------------------------------------------------------------------------------------

VALUE_OF_BARE_MARK = Code(
    "M220",
    "value of a bare mark",
    "`{value}` stands after `{mark}`, a mark without a value",
    ("leave it out, or declare the mark with `is one of` or `in`",),
    "A mark has a choice or a measured value only where it is declared with one.",
)
CHOICE_OF_MEASURED_MARK = Code(
    "M221",
    "choice of a measured mark",
    "`{value}` is asked of `{mark}`, which is measured in {unit}",
    ("compare it with an amount, as in `{mark} over 10 {unit}`",),
    "The value of a measured mark is an amount and can only be compared.",
)
AMOUNT_OF_CHOICES = Code(
    "M222",
    "amount of a mark with choices",
    "`{value}` is asked of `{mark}`, which has choices",
    ("name one of {choices}",),
    "The value of a mark with choices is one of their names and can not be compared with an amount.",
)
OTHER_DIMENSION = Code(
    "M223",
    "unit of another dimension",
    "`{amount}` is {found}, expected {expected}",
    ("write `{near}`", "write it in {units}", "write a number without a unit"),
    "Amounts are compared only within one dimension: times with times, lengths with lengths.",
)
TOTALS_UNMEASURED = Code(
    "M224",
    "total of a mark without amounts",
    "`{mark}` has no measured value to add up",
    ("count the mark with `until 2 {mark}`, or declare it with `in` and a unit",),
    "`totals` adds up the values of a measured mark.",
)
NO_CHOICE_LEFT = Code(
    "M225",
    "no choice left",
    "`{value}` leaves no choice of `{mark}`",
    ("leave at least one of {choices} out",),
    "`other than` means the choices that are not named; here all are named, so nothing could ever fit.",
)

# --- numbers -------------------------------------------------------------------------------------------

NOUGHT = Code(
    "M230",
    "a nought",
    "`{what}` is nought",
    ("write a number above nought, or {instead}", "write a number above nought"),
    "A duration, a count or a total of nought decides nothing, or decides everything at once. To fault the very "
    "first mark write `fail on MARK` or `before 1 MARK`; a restart without `at most` has no greatest number.",
)
BACKWARDS = Code(
    "M231",
    "a range that runs backwards",
    "`{first}` comes before `{second}`, which is less",
    ("write the lesser end first",),
    "`from A to B` means everything from A up to B, both included.",
)
TOO_MANY = Code(
    "M232",
    "too great a number",
    "`{number}` is more than {most}",
    ("write a number up to {most}",),
    "Attempts and restarts are counted up to 10 000.",
)
TOO_LONG = Code(
    "M233",
    "too long a time",
    "`{amount}` is longer than 10000 h",
    ("write a time up to 10000 h",),
    "No time in a standard is longer than 10 000 hours.",
)
NOT_WHOLE_MICROSECONDS = Code(
    "M234",
    "a time between two microseconds",
    "`{amount}` is not a whole number of microseconds",
    ("write it with fewer decimals",),
    "Times are whole microseconds, so that nothing is ever rounded.",
)

# --- the header and the blocks -------------------------------------------------------------------------

NO_TITLE = Code(
    "M240",
    "a standard without a title",
    "the standard `{name}` has no title",
    ('write it after the name: `standard {name} "..."`',),
    "The title is what a verdict and a page call the standard.",
)
NO_EDITION = Code(
    "M241",
    "a standard without an edition",
    "the standard `{name}` does not say which edition it is",
    ('add `edition "1"` to its header',),
    "A verdict names the edition it was given under.",
)
BLANK_EDITION = Code(
    "M246",
    "a blank edition",
    "the edition of `{name}` is blank",
    ('write what it is called: `edition "1"`',),
    "A verdict names the edition it was given under, and a log may name the one it was kept under.",
)
NO_DATE = Code(
    "M242",
    "a standard without a date",
    "the standard `{name}` does not say from when it is in force",
    ("add `in force from` and a date, as in `2026-03-01`, to its header",),
    "A log without an edition is graded under the latest one in force on its day.",
)
LINE_TWICE = Code(
    "M243",
    "a line given twice",
    "`{word}` is said twice",
    ("leave one of the lines out",),
    "What can be said once only would contradict itself, or say nothing more, the second time.",
)
NO_EVENT = Code(
    "M244",
    "a standard without an event",
    "the standard `{name}` has no event",
    ("add an `event` with what the candidate has to do",),
    "A candidate passes a test by its events; without one there is nothing to pass.",
)
NOTHING_OBSERVED = Code(
    "M245",
    "a mark that says not what it observes",
    "the mark `{name}` does not say what it observes",
    ('write it at the end of the line: `"..."`',),
    "Two graders log the same thing only if the standard says what they must see or hear.",
)

# --- clauses -------------------------------------------------------------------------------------------

NO_GOAL = Code(
    "M250",
    "a step without a goal",
    "the step `{name}` has no goal",
    ("add a line with `until` or `for`",),
    "A step is done when its goal is reached: a mark, a number of marks, a total, or a time.",
)
TWO_GOALS = Code(
    "M251",
    "two goals",
    "`{name}` has a second goal",
    ("leave one of them out, or make it a step of its own",),
    "A step has exactly one goal. What takes two goals is a group of two steps.",
)
GOAL_WITH_ITEMS = Code(
    "M252",
    "a goal beside items",
    "the event `{name}` has a goal of its own beside its items",
    ("put the goal into a step of its own",),
    "An event with items is done when its items are; only an event without items has a goal.",
)
EMPTY_GROUP = Code(
    "M253",
    "a group without items",
    "the group `{name}` has no items",
    ("add a step to it, or make it a step with a goal",),
    "A group is done when its items are, so it needs at least one.",
)
EMPTY_EVENT = Code(
    "M254",
    "an event with nothing to do",
    "the event `{name}` has neither a goal nor items",
    ("add a step to it, or a line with `until` or `for`",),
    "An event is done when its items are, or when its own goal is reached.",
)
TWO_STARTS = Code(
    "M255",
    "two starts",
    "`{name}` has a second start",
    ("leave one of them out",),
    "A clause begins in one way. Where several marks may begin it, declare one mark with choices.",
)
NO_ATTEMPTS = Code(
    "M256",
    "an event without a number of attempts",
    "the event `{name}` does not say how many attempts there are",
    ("add `attempts 1`, or another number, or `attempts without limit`",),
    "How often a candidate may try decides the verdict and is never guessed.",
)
ATTEMPTS_TWICE = Code(
    "M257",
    "attempts said twice",
    "`{name}` says a second time how many attempts there are",
    ("leave one of the lines out",),
    "An event has one number of attempts.",
)

# --- rests ---------------------------------------------------------------------------------------------

REST_FIRST = Code(
    "M260",
    "a rest before the first item",
    "a rest stands before the first item of `{name}`",
    ("move it between two items, or leave it out",),
    "A rest starts when the item before it is done.",
)
REST_LAST = Code(
    "M261",
    "a rest after the last item",
    "a rest stands after the last item of `{name}`",
    ("move it between two items, or leave it out",),
    "A rest is a pause before the next item; after the last one nothing is left to wait for.",
)
REST_TWICE = Code(
    "M262",
    "two rests in one place",
    "a second rest stands between the same two items",
    ("put both bounds on one line, each with its `else`",),
    "Between two items there is one pause, with a least length, a greatest, or both.",
)
REST_OUTSIDE_ORDER = Code(
    "M263",
    "a rest where nothing follows in order",
    "a rest stands in `{name}`, where nothing comes after another",
    ("put the items on both sides of it into an `in order` group",),
    "A rest is a pause between one item and the next, so it needs items that come one after another.",
)
REST_WITHOUT_START = Code(
    "M264",
    "a greatest rest that no mark ends",
    "`{bound}` is asked of a rest that no start mark ends",
    ("give `{name}` a start mark, or leave the greatest length out",),
    "Without a start mark a rest lasts exactly its least length and can not be too long.",
)
REST_WITHOUT_ELSE = Code(
    "M265",
    "a rest that does not say what its breach does",
    "`{bound}` does not say what happens otherwise",
    ("add `, else note` where the pause is the candidate's right, `, else fail` where it is a duty",),
    "A pause may be a right or a duty, and only the author knows which. A rest before an item without a start mark"
    " cannot be breached and says nothing of it.",
)
LEAST_OVER_GREATEST = Code(
    "M266",
    "a rest with its least above its greatest",
    "the least length `{least}` is more than the greatest, `{greatest}`",
    ("make the least length the lesser one",),
    "No pause could be long enough and short enough.",
)
EFFECT_BETWEEN_ATTEMPTS = Code(
    "M267",
    "a restart or a halt between attempts",
    "`{effect}` is asked of a rest between attempts",
    ("write `else note`, `else fail` or `else disqualify`",),
    "Between attempts nothing is open that could begin again or be stopped.",
)

# --- faults --------------------------------------------------------------------------------------------

RESTART_IN_ALWAYS = Code(
    "M270",
    "a restart of the whole test",
    "`restart` stands in `always`",
    ("move it into the clause that is to begin again",),
    "`restart` puts the clause it stands in back to its beginning; a whole test does not begin again.",
)
ENDLESS_RESTART = Code(
    "M271",
    "a restart by time alone without a greatest number",
    "`{what}` restarts by time alone, without a greatest number",
    ("add `, at most` and a number",),
    "Time passes by itself, so the clause would begin again for ever without anybody doing anything.",
)
ENDLESS_HALT = Code(
    "M272",
    "a halt by time alone that is not charged",
    "`{what}` halts by time alone, and the attempt is not charged",
    ("add `, charged`, or let a mark halt",),
    "A halt gives the attempt back. A candidate who only waits would get as many attempts as wanted.",
)


# --- what opens ----------------------------------------------------------------------------------------

FIRST_WITHOUT_START = Code(
    "M280",
    "a first event without a start mark",
    "the first event, `{name}`, has no start mark",
    ("add a line with `start on` or `start with first`",),
    "Nothing comes before the first event that could open it, so a mark must.",
)
EVENT_WITHOUT_START = Code(
    "M281",
    "events in any order without a start mark",
    "the event `{name}` has no start mark, and events may come in any order",
    ("add a line with `start on` or `start with first`",),
    "With `events in any order` the start mark says which event opens.",
)
CHOICE_WITHOUT_START = Code(
    "M282",
    "a choice that no mark makes",
    "`{name}` is one of a choice and has no start mark",
    ("add a line with `start on` or `start with first`",),
    "Under `any one of` the start mark of an item chooses it.",
)
STARTS_OVERLAP = Code(
    "M283",
    "one mark for two choices",
    "the same mark could begin `{name}` and `{other}`",
    ("give them different start marks, or different values of one",),
    "Under `any one of`, and with `events in any order`, a start mark must say which clause it begins.",
)
REOPENS_AFTER_HALT = Code(
    "M284",
    "an event that would open again by itself after a halt",
    "the event `{name}` can be halted and would open again by itself",
    ("give the event a start mark",),
    "After a halt nothing begins by itself: somebody must say that it is safe to go on.",
)
OPENS_AFTER_HALT = Code(
    "M285",
    "an event that would open by itself after a halt",
    "the event `{name}` would open by itself after a halt has ended `{before}`",
    ("give the event a start mark",),
    "With `carry on` the next event follows one that was not passed; after a halt nothing begins by itself.",
)
ENDLESS_ATTEMPTS = Code(
    "M286",
    "attempts without limit that open by themselves",
    "the event `{name}` has attempts without limit and no start mark",
    ("give the event a start mark, or a number of attempts",),
    "Without a start mark a failed attempt is followed at once by the next, for ever, by time alone.",
)
ENDLESS_FAILURES = Code(
    "M287",
    "attempts without limit that fail by waiting",
    "`{bound}` fails attempts without limit, by time alone",
    ("give the event a number of attempts, or write `else note`",),
    "Staying away too long would fail one attempt after another, for ever, by time alone.",
)

WAITING_IN_ANY_ORDER = Code(
    "M288",
    "a greatest rest between attempts that another event can hold up",
    "`{bound}` runs on while an attempt of another event is open",
    ("leave the greatest length out, or put the events in order",),
    "With `events in any order` the next attempt may have to wait for another event: the candidate cannot answer for that wait.",
)

# --- cases ---------------------------------------------------------------------------------------------

UNKNOWN_CONDITION = Code(
    "M290",
    "unknown condition",
    "unknown condition `{name}`",
    ("write `{near}`, if that is meant", "declare it under `conditions`"),
    "A case may state only facts that the standard asks for.",
)
OTHER_KIND_OF_FACT = Code(
    "M291",
    "a fact of another kind",
    "`{name}` is stated as {found}, expected {expected}",
    ("state it as the condition asks for it",),
    "A condition with `yes` or `no` is stated so; one with an amount is stated in a unit of the same dimension.",
)
UNKNOWN_EVENT = Code(
    "M292",
    "unknown event",
    "unknown event `{name}`",
    ("write `{near}`, if that is meant", "leave the name out for a log of the whole test"),
    "The log of a case is that of the whole test, or of the one event it names.",
)
UNKNOWN_PATH = Code(
    "M293",
    "unknown path",
    "no clause has the path `{path}`",
    ("write `{near}`, if that is meant", "a path is made of labels, as in `EVENT.STEP.MARK`"),
    "What a case gives is cited by the path of a clause, as a verdict cites it.",
)
NOT_WHAT_IT_GIVES = Code(
    "M294",
    "a path that can not do that",
    "`{path}` is {found}, and `{word}` is said of {expected}",
    ("write the path of {expected}",),
    "An event is GO or NO-GO; an event, group or step begins; all else is done by one limit, fault or rest.",
)
CLOCK_BACKWARDS = Code(
    "M295",
    "a time that runs backwards",
    "`{at}` comes after `{before}`, which is later",
    ("put the lines in the order of their times",),
    "A log is written in the order in which things happened.",
)
AFTER_END = Code(
    "M296",
    "an entry after the end",
    "an entry stands after the `end` of the log",
    ("make `end` the last line",),
    "`end` says that nothing more was logged.",
)
NO_VALUE = Code(
    "M297",
    "a mark logged without its value",
    "`{mark}` is logged without its value",
    ("write one of {choices} after it", "write an amount in {unit} after it"),
    "A mark with choices or with a measured value is always logged with it.",
)
FACT_TWICE = Code(
    "M298",
    "a fact stated twice",
    "`{name}` is stated twice",
    ("leave one of the lines out",),
    "A session has one state of each fact.",
)
