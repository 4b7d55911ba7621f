"""Codes of the worked cases of a standard: what a case gives that its author did not expect."""

from standfast.codes.code import Code

OTHER_VERDICT = Code(
    "C301",
    "a case gives another verdict",
    "the verdict{whose} is {found}, and {expected} was expected",
    (
        "what decided: {because}; correct the `gives` line, the case's log or the rule",
        "correct the `gives` line, the case's log or the rule",
    ),
    about="A case is a worked example inside the standard: the log it shows is replayed by the same rules as the"
    " log of a real session. Here the verdict that came out is not the one the `gives` line states. Either the"
    " example is wrong, or the rules do not say what their author meant by them.",
)
OTHER_EVENT_OUTCOME = Code(
    "C302",
    "a case gives another outcome of an event",
    "`{path}`{whose} is {found}, and {expected} was expected",
    (
        "what decided: {because}; correct the `gives` line, the case's log or the rule",
        "correct the `gives` line, the case's log or the rule",
    ),
    about="The `gives` line states what becomes of one event of the case. An event is GO when an attempt completes"
    " its last item, NO-GO when its attempts are spent, and otherwise unfinished or not begun.",
)
OTHER_TIME = Code(
    "C303",
    "a clause acts at another time or in another way",
    "`{path}`{whose} {found}, and {expected} was expected",
    ("correct the time or the word of the `gives` line, the case's log or the rule",),
    about="The clause the `gives` line names does act in the case, but not at that time or not with that effect."
    " A deadline acts at the instant it passes, an entry at its own time, and after the last allowed restart the"
    " same mark fails the attempt (its path then ends in `.at_most`).",
)
NOTHING_THERE = Code(
    "C304",
    "a clause does not act in a case",
    "`{path}`{whose} does nothing here, and {expected} was expected",
    (
        "what does act: {because}; correct the `gives` line, the case's log or the rule",
        "no clause acts in this case: is an entry missing from its log?",
    ),
    about="The clause the `gives` line names neither notes, restarts, fails, halts nor disqualifies in the case."
    " Of several faults one entry triggers only the gravest acts (notes are all kept), the rules of a clause that"
    " waits for its start mark sleep, and after an attempt has ended its rules are silent.",
)
NEVER_BEGINS = Code(
    "C305",
    "a clause does not begin in a case",
    "`{path}`{whose} {found}, and {expected} was expected",
    ("correct the time of the `gives` line, the case's log or the start of the clause",),
    about="A clause begins at its start mark, or where it has none when the item before it and the rest between"
    " are done. It begins again when it is restarted.",
)
OTHER_EVENT = Code(
    "C306",
    "a case asks for another event",
    "the log of the case is of `{event}` alone, and `{path}` belongs to another event",
    ("correct the path, or write `log` without an event for the whole test",),
    about="A case whose `log` names an event judges that event alone with the `always` rules; nothing happens to"
    " other events in it.",
)
OTHER_FURTHEST = Code(
    "C307",
    "another furthest round in a case",
    "`{path}`{whose} goes as far as {found}, and {expected} was expected",
    ("correct the `gives` line, the case's log or the rules of the rounds",),
    about="The furthest round is the greatest one made, not the one that was open when the rounds ended. Of several"
    " attempts the last counts in which the rounds began.",
)
EVENT_FOR_OTHERS = Code(
    "C308",
    "a case of an event that is not for its candidate",
    "the log of the case is of `{event}` alone, and {found}",
    ("state another fact in its `with` line, or write `log` without an event for the whole test",),
    about="The event the case's `log` names stands in the test only for candidates of another choice, so there is"
    " nothing to judge.",
)
OTHER_POINTS = Code(
    "C309",
    "a case gives other points or another grade",
    "the test{whose} gives {found}, and {expected} was expected",
    (
        "what acted: {because}; correct the `gives` line, the case's log or the rule",
        "correct the `gives` line, the case's log or the rule",
    ),
    about="Points of the whole test are there when every event is GO, and a grade when the test is.",
)
OTHER_POINTS_OF_CLAUSE = Code(
    "C310",
    "a case gives other points of a clause",
    "`{path}`{whose} gives {found}, and {expected} was expected",
    (
        "what acted: {because}; correct the `gives` line, the case's log or the rule",
        "correct the `gives` line, the case's log or the rule",
    ),
    about="The points of a clause are those of its own score and the scores inside it, in an attempt that ended GO.",
)
DISAGREEMENT = Code(
    "C390",
    "the two readings of the rules disagree",
    "the grader and its written definition judge this case differently{whose}: {found}, and {expected}",
    ("this is a fault of standfast, not of the standard: please report it with this file",),
    about="Every case is judged twice, by two programs written apart from one another. That they differ is a fault"
    " of standfast. No verdict under this standard should be relied on until it is mended.",
)
