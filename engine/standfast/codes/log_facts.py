"""Codes of the candidate's facts as a log states them: L49x."""

from standfast.codes.code import Code

UNKNOWN_FACT = Code(
    "L490",
    "unknown fact",
    "the fact `{name}` is not declared in `{standard}`",
    ("write `{near}`, if that is meant", "state only facts the standard declares under `candidate`"),
    about="A fact the standard does not declare is a slip; the one that was meant would count as not stated.",
)
FACTS_OF_NOBODY = Code(
    "L491",
    "facts of nobody",
    "facts of `{name}`, who is no candidate of this log",
    ("write `{near}`, if that is meant", "name the candidate in the header, or take the facts out"),
    about="An object under `facts` holds the facts of the candidate it is named after.",
)
FACT_TWICE = Code(
    "L492",
    "fact stated twice",
    "`{name}` is stated twice of `{candidate}`",
    ("state it of all candidates or of each, not both",),
    about="A fact is stated once of each candidate; of two values neither can be preferred without guessing.",
)
NO_HEADING = Code(
    "L493",
    "no heading",
    "`{text}` for `{name}` is no heading",
    ("write an amount from `0 deg` to under `360 deg`",),
    about="A heading is from 0 to under 360 degrees; 360 is 0.",
)
NO_WHOLE_NUMBER = Code(
    "L497",
    "no whole number",
    "`{text}` for `{name}` is no whole number",
    ("write it without unit and decimals, such as `34`",),
    about="The standard declares this fact as a number, such as an age in whole years.",
)
SHARE_OF_NOTHING = Code(
    "L494",
    "share of nothing",
    "`{text}` for `{name}`, of which the standard takes a share",
    ("write what was measured",),
    about="A share of nothing is nothing, and any amount would meet it.",
)
