"""Codes of what a standard says of the candidate's facts that means nothing, or more than one thing: M40x, M41x."""

from standfast.codes.code import Code

UNKNOWN_FACT = Code(
    "M400",
    "unknown fact",
    "unknown fact `{name}`",
    ("write `{near}`, if that is meant", "declare it under `candidate`"),
    "Every fact of the candidate that a clause names stands once under `candidate`.",
)
FACT_DECLARED_TWICE = Code(
    "M401",
    "fact declared twice",
    "the fact `{name}` is declared twice",
    ("leave one of them out or give it another name",),
    "A fact of the candidate is stated once with the session, so its name stands once under `candidate`.",
)
FACT_AND_CONDITION = Code(
    "M402",
    "one name for a fact and a condition",
    "`{name}` is a condition here and a fact of the candidate elsewhere",
    ("give one of them another name",),
    "A condition is stated of the session and a fact of a candidate; a `with` line of a case would mean both.",
)
NO_AMOUNT_OF_CHOICES = Code(
    "M403",
    "amount of a fact with choices",
    "an amount is asked of `{name}`, which has choices",
    ("write `only for {name}` and one of {choices}, or name a fact that is measured",),
    "A share can be taken only of a measured fact, and an amount can lie near one only.",
)
FACT_OF_OTHER_DIMENSION = Code(
    "M404",
    "fact of another dimension",
    "`{name}` is {found}, expected {expected}",
    ("name a fact that is {expected}",),
    "Amounts are compared only within one dimension: masses with masses, lengths with lengths.",
)
SHARE_OF_HEADING = Code(
    "M405",
    "share of a heading",
    "`{share}` is asked of `{name}`, which is a heading",
    ("write `within 10 deg of {name}`",),
    "A heading is a direction: a part of it means nothing, only how far another one lies from it.",
)
HEADING_AND_ANGLE = Code(
    "M406",
    "a heading held against an angle",
    "`{name}` is {found}, expected {expected}",
    ("declare both with `is a heading`, or both with `in deg`",),
    "Headings go round a circle and their difference is the short way; other angles do not.",
)
NO_HEADING = Code(
    "M407",
    "no heading",
    "`{amount}` is no heading",
    ("write an amount from 0 deg to under 360 deg",),
    "A heading is from 0 to under 360 degrees; 360 is 0.",
)
ANY_HEADING = Code(
    "M408",
    "every heading",
    "every heading is within `{amount}` of any other",
    ("write an amount under 180 deg",),
    "Two headings never lie more than 180 degrees apart, the short way round.",
)
NO_CHOICES_OF_FACT = Code(
    "M409",
    "`only for` a fact without choices",
    "`{name}` has no choices",
    ("declare it with `is one of`",),
    "`only for` names candidates by one of the choices of a fact.",
)
NOTHING_LEFT = Code(
    "M410",
    "nothing left for a candidate",
    "for a candidate with `{whom}` nothing is left of `{name}`",
    ("write `only for` on it as a whole, or add what is for these candidates",),
    "`only for` takes a clause out of the test for other candidates. A test, an event or a group with nothing in it "
    "would be passed by doing nothing.",
)
NO_CHOICES_OF_BAND = Code(
    "M418",
    "choices of a fact that has none",
    "`{name}` has no choices",
    ("write a test such as `for {name} under 30`, or declare it with `is one of`",),
    "Candidates are told apart by one of the choices of a fact, or by a test on what is measured.",
)
SHARE_OF_NUMBER = Code(
    "M419",
    "share of a number",
    "`{share}` is asked of `{name}`, which is a number",
    ("name a fact that is measured, or write a number",),
    "A whole number such as an age tells candidates apart, with `score ... for`; nothing is worked out from it.",
)
TOTAL_OF_HEADINGS = Code(
    "M411",
    "total of headings",
    "`{mark}` is a heading, and headings are not added up",
    ("declare it with `in deg` if it is an amount turned",),
    "A heading is a direction. What adds up is how far one has turned.",
)
FACT_OTHERWISE = Code(
    "M412",
    "a fact of the candidate of another kind",
    "`{name}` is stated as {found}, expected {expected}",
    ("state it as `candidate` declares it",),
    "A case states a fact as a log does: a measure with its unit, or one of the choices.",
)
CONDITION_OF_CANDIDATE = Code(
    "M413",
    "a condition of one candidate",
    "the condition `{name}` is stated for `{candidate}` alone",
    ("leave `for {candidate}` out, or declare `{name}` under `candidate`",),
    "A condition holds or not for the session as a whole; only facts of the candidate differ.",
)
FIGURE_OF_ABSENT = Code(
    "M414",
    "a figure of a clause that is not in every candidate's test",
    "`{words}` speaks of `{path}`, which is not in the test for a candidate with `{whom}`",
    ("put the limit into a clause that is `only for` the same candidates",),
    "For a candidate who has no such clause the figure would be there for nobody to measure.",
)
TIME_OF_FACT = Code(
    "M415",
    "a time limit worked out from a fact",
    "`{words}` holds a time against a fact of the candidate",
    ("write the length of time, in a clause `only for` the candidates it is meant for",),
    "A deadline is a whole number of microseconds, and a share of a fact need not be.",
)
FIGURE_OF_HEADINGS = Code(
    "M416",
    "a figure that headings do not have",
    "`{figure}` is asked of `{mark}`, which is a heading",
    ("write `each of {mark}` or `last of {mark}`",),
    "A heading is a direction: it is neither large nor small, and headings are not added up.",
)
WITHIN_OF_FIGURE = Code(
    "M417",
    "`within` of a figure",
    "`{figure}` is held against a fact with `within`",
    ("write `each of {mark} within`, or limit the figure by `at least` and `at most`",),
    "How far a value lies from a fact is asked of each value, or of the last.",
)
