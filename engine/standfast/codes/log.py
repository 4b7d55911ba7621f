"""Codes of reading a session log and of understanding it by a standard."""

from standfast.codes.code import Code

# --- the file and its lines ------------------------------------------------------------------------------

EMPTY = Code(
    "L401",
    "empty log",
    "the log is empty",
    ("write the header as the first line, then one entry a line",),
    about="A log has a header as its first line. A file with nothing in it is no log of a session in which "
    "nothing happened; it is a log that was never written or was lost.",
)
NOT_UTF8 = Code(
    "L402",
    "not UTF-8",
    "byte {byte} of the line is `{value}`, which is not UTF-8",
    ("save the log as UTF-8",),
    about="Logs are UTF-8. Letters saved in another encoding cannot be read without guessing which.",
)
LINE_TOO_LONG = Code(
    "L403",
    "line too long",
    "a line of {length} bytes; at most {limit} are read",
    ("write one entry a line, and long reports elsewhere",),
    about="No entry needs so long a line; the file is not a session log, or its line ends were lost.",
)
TOO_MANY_LINES = Code(
    "L404",
    "too many lines",
    "more than {limit} lines in one log",
    ("keep one session a file",),
    about="No session has so many entries; the file is not a session log.",
)
CUT_OFF = Code(
    "L405",
    "last line cut off",
    "the last line looks cut off: it has no line end and is not a whole JSON object",
    ("fetch the whole file again, or complete the line by what the grader knows",),
    about="A log that was copied or sent while it was being written may end in the middle of an entry. What the "
    "rest of the line said is not guessed.",
)
BLANK_LINE = Code(
    "L406",
    "blank line",
    "a blank line between the lines of the log",
    ("take the line out",),
    about="One line is one entry, so that an entry lost from the middle of a log leaves a trace. Blank lines at "
    "the end do no harm.",
)
NOT_JSON = Code(
    "L407",
    "not JSON",
    "found {found} where JSON has {wanted}",
    ("{advice}", 'write the line as one JSON object, such as `{{"at":"0:05.4","mark":"go"}}`'),
    about="Each line of a log is one JSON object (RFC 8259): keys and texts in double quotes, commas between "
    "the pairs and none after the last.",
)
NOT_OBJECT = Code(
    "L408",
    "not an object",
    "the line holds {found}, not an object",
    ('write the line as one JSON object, such as `{{"at":"0:05.4","mark":"go"}}`',),
    about="Each line of a log is one JSON object, in braces.",
)
MORE_ON_LINE = Code(
    "L409",
    "more on the line",
    "found {found} after the end of the line's JSON",
    ("{advice}", "put what follows on a line of its own"),
    about="A log has one object a line and nothing beside it.",
)
TOO_DEEP = Code(
    "L410",
    "nested too deeply",
    "brackets nested too deeply to be a session log",
    ("write each value of an entry as a plain text",),
    about="Nothing in a log nests deeper than the header's conditions.",
)

# --- keys and their values -------------------------------------------------------------------------------

UNKNOWN_KEY = Code(
    "L411",
    "unknown key",
    "unknown key `{key}` in {what}",
    ("write `{near}`, if that is meant", "use only these: {known}"),
    about="A key that is not known may hold something that matters, so it is not passed over.",
)
KEY_TWICE = Code(
    "L412",
    "key twice",
    "the key `{key}` stands twice in {what}",
    ("keep the one that is right",),
    about="Of two values for one key none can be preferred without guessing.",
)
MISSING_KEY = Code(
    "L413",
    "missing key",
    "{what} without `{key}`",
    ("write `{line}` into a {cell} above the table", "fill in the {cell} `{key}`", "add it, such as `{example}`"),
    about="A header names the session and the standard; an entry has a time and a mark; a correction says by whom it "
    "is, in `by`, and why, in `note`.",
)
WRONG_KIND = Code(
    "L414",
    "wrong kind of value",
    "found {found} for `{key}`, which takes {wanted}",
    ("write `{mended}`", "leave the key out where there is nothing to say"),
    about="Times, marks, values and names are texts, in double quotes. Conditions are an object.",
)
EMPTY_TEXT = Code(
    "L415",
    "empty text",
    "an empty text for `{key}`",
    ("fill it in, or leave the key out where it may be left out",),
    about="An empty name or time says nothing; whether it was forgotten is not guessed.",
)
BAD_CHARACTER = Code(
    "L416",
    "character that is not text",
    "the character {character} in the text of `{key}`",
    ("take it out",),
    about="Control characters and halves of a character cannot be shown on a page or in a terminal. A note may "
    "hold line breaks and tabs.",
)

# --- which line comes where ------------------------------------------------------------------------------

NO_HEADER = Code(
    "L417",
    "no header",
    "the first line is {what}, not the header",
    ('begin with a header such as `{{"session":"S-1","standard":"NAME","candidate":"C-1"}}`',),
    about="The first line of a log is its header: it names the session, the standard and who was tested.",
)
SECOND_HEADER = Code(
    "L418",
    "second header",
    "a second header",
    ("put each session in a log of its own",),
    about="Two logs that were joined into one file cannot be told apart by their times.",
)
AFTER_END = Code(
    "L419",
    "entry after the end",
    "an entry after the end of the log",
    ("move it before the end, or correct the end",),
    about="`end` says that nothing was logged after it.",
)
SECOND_END = Code(
    "L420",
    "second end",
    "a second end",
    ("keep the one that is right",),
    about="A session ends once.",
)
FACTS = Code(
    "L422",
    "candidate's facts",
    "facts of the candidate, but this standard declares none",
    ("take `facts` out of the header",),
    about="`facts` in the header holds what a standard asks about a candidate. A standard that asks nothing can "
    "make no use of them.",
)

# --- times -----------------------------------------------------------------------------------------------

NOT_A_TIME = Code(
    "L430",
    "not a time",
    "`{text}` is not a time",
    ("write it as `0:05.4`, `1:02:05` or `2026-04-11T09:00:05.4+01:00`",),
    about="A time is elapsed (`m:ss` or `h:mm:ss`, two digits for the seconds, at most six decimals after a "
    "point) or a timestamp of RFC 3339 with its zone.",
)
TIME_AS_NUMBER = Code(
    "L431",
    "time as a number",
    "found the number `{text}` for `{key}`, which takes a time in quotes",
    ('write minutes and seconds in quotes, such as `"0:05.4"`',),
    about="Whether a bare number means seconds, minutes or milliseconds is not guessed.",
)
NEGATIVE_TIME = Code(
    "L432",
    "negative time",
    "the time `{text}` lies before the session's zero",
    ("begin the session's clock at or before its first entry",),
    about="Elapsed times count from the session's zero and are never negative.",
)
TOO_MANY_DECIMALS = Code(
    "L433",
    "too many decimals",
    "`{text}` has {count} decimals, more than six",
    ("write at most six; a grader's log is rarely good to more than two",),
    about="Times are whole microseconds and measures have at most six decimals in the unit they are written "
    "in. More would have to be rounded, and nothing is rounded before it is compared.",
)
OUT_OF_RANGE = Code(
    "L434",
    "no such time",
    "`{text}` has {count} {part}, more than {limit}",
    ("write the time as a clock shows it",),
    about="Seconds and, after an hour, minutes stop at 59. Elapsed minutes without an hour may be more.",
)
NO_SUCH_DATE = Code(
    "L435",
    "no such date",
    "`{text}` names the date `{date}`, which does not exist",
    ("correct the date",),
    about="Dates are those of the calendar, leap years included, in the years 0001 to 9999.",
)
NO_ZONE = Code(
    "L436",
    "no zone",
    "`{text}` has no zone",
    ("add `Z` for UTC, or the offset such as `+01:00`",),
    about="A timestamp of RFC 3339 says how far its clock stands from UTC. Without it two logs of one session "
    "cannot be laid side by side.",
)
NO_LEAP_SECOND = Code(
    "L437",
    "no leap second there",
    "`{text}` has the second 60, but is not 23:59:60 UTC at the end of a month",
    ("write the second that follows as `:00` of the next minute",),
    about="A leap second stands at the end of the last minute, in UTC, of a month (RFC 3339, 5.7).",
)
TOO_LARGE = Code(
    "L438",
    "number too large",
    "`{text}` has a number of more than {limit} digits",
    ("correct the number",),
    about="No measure or time of a session needs so many digits; the number is a slip.",
)
MIXED_TIMES = Code(
    "L439",
    "two kinds of time",
    "`{text}` is {found}, but the entries before have {before}",
    ("use one kind of time in the whole log",),
    about="A log has elapsed times or timestamps. How the two fit together would have to be guessed.",
)
NO_ZERO = Code(
    "L440",
    "timestamps without a zero",
    "the entries have timestamps, but the header has no `started`",
    (
        "write `# started: 2026-04-11T09:00:00+01:00` into a {cell} above the table",
        'add the instant the session began, such as `"started":"2026-04-11T09:00:00+01:00"`',
    ),
    about="Times count from the session's zero; in a log of timestamps the header's `started` is it.",
)
BEFORE_ZERO = Code(
    "L441",
    "before the zero",
    "`{text}` lies before the session's zero, `{zero}`",
    ("correct the time, or `started` in the header",),
    about="Nothing can be logged before the session began.",
)
BACKWARDS = Code(
    "L442",
    "time runs backwards",
    "`{text}` ({this}) comes after `{before}` ({that}): time runs backwards",
    ("correct the time that is wrong, or put the entries in the order of their times",),
    about="Entries stand in the order in which things happened; at one instant their order in the log decides. "
    "A time that runs backwards is a slip, and which of the two is wrong is not guessed.",
)
NOT_A_TIMESTAMP = Code(
    "L443",
    "not a timestamp",
    "`{text}` for `started` is {found}",
    ("write the instant with its date, time of day and zone, such as `{example}`",),
    about="`started` is the session's zero on the calendar and the clock.",
)

# --- candidates ------------------------------------------------------------------------------------------

BOTH_KEYS = Code(
    "L450",
    "candidate and candidates",
    "both `candidate` and `candidates` in the header",
    ("keep `candidates` where several were tested together",),
    about="A header names one candidate, or a list of them, or none where each entry names its own.",
)
CANDIDATE_TWICE = Code(
    "L451",
    "candidate twice",
    "the candidate `{name}` is listed twice",
    ("take one out",),
    about="Each candidate of a session gets one verdict.",
)
NAMED_ALL = Code(
    "L452",
    "candidate called all",
    "a candidate called `all`",
    ("give the candidate another name",),
    about="An entry for `all` counts for each candidate, so no candidate can have that name.",
)
NO_CANDIDATES = Code(
    "L453",
    "empty list of candidates",
    "an empty list for `candidates`",
    ("name those who were tested, or leave the key out and name one in each entry",),
    about="A list of candidates says who gets a verdict; an empty one asks for none.",
)
CANDIDATE_MISSING = Code(
    "L454",
    "entry without a candidate",
    "an entry without `candidate` in a log of several",
    ("name the candidate, or `all` where it counts for each",),
    about="With one candidate named in the header entries need not name anyone; else each must say whose it is.",
)
UNKNOWN_CANDIDATE = Code(
    "L455",
    "unknown candidate",
    "the candidate `{name}` is not one the header names",
    ("write `{near}`, if that is meant", "name the candidate in the header, or correct the entry"),
    about="An entry for someone the header does not name is a slip in one of the two.",
)
NO_CANDIDATE = Code(
    "L456",
    "no candidate",
    "no candidate is named, in the header or in an entry",
    (
        "write `# candidate: C-1` into a {cell} above the table",
        'add the candidate to the header, such as `"candidate":"C-1"`',
    ),
    about="A verdict is given on someone.",
)

PRESENT_TWICE = Code(
    "L457",
    "candidate who joins or leaves twice",
    "`{name}` {how}, but {found}",
    ("take out the line that is wrong, or strike it; for one who comes back keep another log",),
    about="A candidate joins a log before any entry of theirs and leaves it once: then it is over for them, and what is "
    "still owed was not done. What is done on coming back stands in a log of its own.",
)
ENTRY_AFTER_LEAVING = Code(
    "L458",
    "entry of a candidate who has left",
    "an entry of `{name}`, who left on line {line}",
    ("correct the candidate, or put the line with `leave` after the entry",),
    about="With `leave` the log is over for that candidate, as with `end` for all.",
)

# --- by the standard -------------------------------------------------------------------------------------

OTHER_STANDARD = Code(
    "L460",
    "log of another standard",
    "the log is of the standard `{name}`, not of `{standard}`",
    ("grade it by `{name}`, or correct the header",),
    about="A log names the standard it was taken under.",
)
OTHER_EDITION = Code(
    "L461",
    "log of another edition",
    "the log is of edition `{edition}` of `{standard}`, not of `{given}`",
    ("grade it by edition `{edition}`, or correct the header",),
    about="A log that names an edition is graded by that edition and no other.",
)
UNKNOWN_MARK = Code(
    "L462",
    "unknown mark",
    "the mark `{name}` is not declared in `{standard}`",
    (
        'the end is no mark: write the line as `{{"end":"{at}"}}`',
        "write `{near}`, if that is meant",
        "log a mark the standard declares",
    ),
    about="A mark the standard does not declare is a slip or belongs to another standard or edition.",
)
UNKNOWN_CHOICE = Code(
    "L463",
    "unknown value",
    "`{value}` is not a value of `{mark}`",
    ("write `{near}`, if that is meant", "use one of {known}"),
    about="A mark with a choice takes one of the values the standard declares for it.",
)
VALUE_MISSING = Code(
    "L464",
    "value missing",
    "`{mark}` without a value",
    (
        "add one of {known}",
        "fill in the {cell} `value`, such as `{example}`",
        'add what was measured, such as `"value":"{example}"`',
    ),
    about="A mark with a choice or a measure says nothing without its value.",
)
VALUE_UNWANTED = Code(
    "L465",
    "value not wanted",
    "the value `{value}` for `{mark}`, which takes none",
    ("take the value out, or put it into `note`",),
    about="A bare mark has no value; what the value was meant to say would be lost.",
)
NO_UNIT = Code(
    "L466",
    "no unit",
    "`{text}` for `{name}` has no unit",
    (
        "write it with a unit of {dimension} into the {cell}, such as `{example}`",
        'write it as a text with a unit of {dimension}, such as `"{example}"`',
    ),
    about="A measure always carries its unit, so that metres are never read as feet.",
)
UNKNOWN_UNIT = Code(
    "L467",
    "unknown unit",
    "unknown unit `{unit}` in `{text}`",
    ("write `{near}`, if that is meant", "use a unit of {dimension}: {known}"),
    about="The units are those of the rule language.",
)
OTHER_DIMENSION = Code(
    "L468",
    "unit of another dimension",
    "`{text}` for `{name}` is a measure of {found}, not of {dimension}",
    ("write it in a unit of {dimension}, such as `{example}`",),
    about="What is measured in metres cannot be logged in kilograms.",
)
NOT_AN_AMOUNT = Code(
    "L469",
    "not a measure",
    "`{text}` for `{name}` is not a measure",
    ("write a number, with a point before decimals, a blank and a unit, such as `{example}`",),
    about="A measure is a number with a point before its decimals, a blank and a unit. A time may be several "
    "with falling units, such as `1 min 40 s`.",
)
NEGATIVE_AMOUNT = Code(
    "L470",
    "negative measure",
    "`{text}` for `{name}` is negative",
    ("write how much it was, without a sign",),
    about="Measures are never negative.",
)
UNKNOWN_CONDITION = Code(
    "L471",
    "unknown condition",
    "the condition `{name}` is not declared in `{standard}`",
    ("write `{near}`, if that is meant", "state only conditions the standard declares"),
    about="A condition the standard does not declare is a slip; the one that was meant would count as not stated.",
)
NOT_YES_OR_NO = Code(
    "L472",
    "not yes or no",
    "found `{text}` for `{name}`, which takes `true` or `false`",
    ("write `yes` or `no` into the {cell}", "write `true` or `false`, without quotes"),
    about="A condition that is demanded as yes or no is stated as JSON's `true` or `false`.",
)
NOT_A_COUNT = Code(
    "L473",
    "not a whole number",
    "found `{text}` for `{name}`, which takes a whole number",
    ("write how many there were, such as `2`",),
    about="A condition with a bare number counts something.",
)
YES_OR_NO_UNWANTED = Code(
    "L474",
    "measure wanted",
    "found `{text}` for `{name}`, which takes a measure",
    (
        "write what was measured into the {cell}, such as `{example}`",
        'write what was measured, such as `"{example}"`',
    ),
    about="A condition that is held against a number is stated as a measure, so that the record shows by how "
    "much it was met.",
)

NO_GRADER = Code(
    "L475",
    "entry that does not say by whom",
    "`{mark}` is counted once a grader, and this entry does not say by whom",
    ("fill in the {cell} `by`, such as `G-1`", 'add the grader, such as `"by":"G-1"`'),
    about="With `once a grader` one entry of each grader counts. Who gave an entry is not guessed, not even from the "
    "grader in the header.",
)

MANY_MORE = Code(
    "L499",
    "more problems",
    "{count} more problems in this log are not listed",
    ("mend those above and read the log again",),
    about="After the first problems of a log the others are counted only.",
)
