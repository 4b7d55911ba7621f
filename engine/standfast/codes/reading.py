"""Codes of reading a standard: layout, words and numbers, before anything is looked up."""

from standfast.codes.code import Code

# --- layout ------------------------------------------------------------------------------------------------

CONTROL_CHARACTER = Code(
    "R101",
    "a character that no line may hold",
    "found the character {point}, which cannot be seen and does not belong in a text",
    ("{advice}", "delete it, or type the words around it again"),
    about="A standard is plain text: letters, digits, signs, blanks and tabs. Characters that cannot be "
    "seen (other than blanks, tabs and line ends) would make two texts that look alike differ. A carriage return alone ends no line; it is reported once a file.",
)
MIXED_INDENTATION = Code(
    "R102",
    "blanks and tabs mixed",
    "this line's indentation is unlike that of the lines before it: expected {wanted} only",
    ("indent every line of the file with {wanted}, {number} a level; an editor can do it for the whole file",),
    about="A file may be indented with blanks or with tabs (a tab counts as four blanks), but not with "
    "both: what lines up in one editor does not in another. It is reported once a file.",
)
FIRST_INDENTED = Code(
    "R103",
    "first line indented",
    "the first line is indented",
    ("begin the line at the left edge",),
    about="The lines of the outermost level (`standard`, `conditions`, `marks`, `always`, `event`, `case`) "
    "begin at the left edge.",
)
STRAY_INDENTATION = Code(
    "R104",
    "indented below a line that opens no block",
    "this line is indented deeper than `{before}`, which opens no block",
    ("indent it like the line above it",),
    about="Only `standard`, `conditions`, `marks`, `always`, `event`, `step`, `in order`, `in any order`, "
    "`any one of`, `case` and `log` have lines of their own, indented below them.",
)
INDENTATION_MATCHES_NONE = Code(
    "R105",
    "indentation of no open block",
    "found an indentation of {indent}, expected {wanted}",
    ("line it up with the other lines of its block",),
    about="All lines of one block stand at one indentation. A line that ends a block stands where a line of "
    "a block around it stands.",
)
TOO_DEEP = Code(
    "R106",
    "blocks nested too deep",
    "this line lies more than {deepest} blocks deep",
    ("flatten the groups around it",),
    about="No standard needs more than a few levels; the number is bounded so that no file can exhaust the "
    "machine.",
)
EMPTY_BLOCK = Code(
    "R107",
    "block without lines",
    "`{head}` has no lines below it",
    ("indent its lines below it, for instance `{hint}`",),
    about="A block says something only by its lines, which stand below its first line, indented by four blanks.",
)
NOT_INDENTED = Code(
    "R116",
    "lines not indented below their block",
    "this line is not indented below `{head}`",
    ("indent the lines of the block by four blanks",),
    about="The lines of a block stand below its first line, indented by four blanks. It is reported once a block.",
)
NOT_AT_EDGE = Code(
    "R117",
    "block of the outermost level indented",
    "this `{word}` is indented, expected it at the left edge",
    ("begin it at the left edge",),
    about="`standard`, `marks`, `always`, `event` and `case` open blocks of the outermost level, at the left edge.",
)
NO_STANDARD = Code(
    "R108",
    "no standard",
    "found `{found}`, expected the line that names the standard",
    ('begin the file with a line such as `standard crew_entry "Crew entry check"`',),
    about='Every file is one edition of one standard and begins with its name: `standard NAME "title"`, '
    "with its header lines (`edition`, `in force from`) indented below.",
)
EMPTY_FILE = Code(
    "R109",
    "empty file",
    "the file says nothing",
    ('begin it with a line such as `standard crew_entry "Crew entry check"`',),
    about="A file of empty lines and comments is no standard.",
)
SECOND_STANDARD = Code(
    "R110",
    "second standard in one file",
    "found a second `standard`; the first is in line {first}",
    ("put each standard, and each edition of one, in a file of its own",),
    about="Every file is one edition of one standard.",
)
WRONG_PLACE = Code(
    "R111",
    "line in a block it does not belong in",
    "`{word}` cannot stand in {place}",
    ("{advice}", "move it to {places}"),
    about="Each kind of block has its kinds of line: attempts belong in an event, a goal (`until`, `for`) "
    "in a step or in an event without items, limits and faults in any clause or in `always`.",
)
CASE_WITHOUT_LOG = Code(
    "R112",
    "case without a log",
    "this case has no log",
    ("add `log`, or `log EVENT` for one event, with its entries indented below it",),
    about="A case is a log and what the log gives; facts may stand before it (`with lookouts 2`).",
)
CASE_WITH_TWO_LOGS = Code(
    "R113",
    "case with two logs",
    "found a second log in one case; the first is in line {first}",
    ("make two cases of it",),
    about="A case is one log and what it gives.",
)
CASE_GIVES_NOTHING = Code(
    "R114",
    "case that gives nothing",
    "this case does not say what its log gives",
    ("add a line such as `gives GO` or `gives water.tread.within fails at 20:00`",),
    about="A case that expects nothing can never be wrong, so it would check nothing.",
)
TOO_MANY = Code(
    "R115",
    "too much is wrong",
    "found {number} problems up to here; the rest of the file was not read",
    ("mend these first, then read the file again",),
    about="A file with so many problems is most often not a standard at all, or one mistake repeated.",
)

# --- words -------------------------------------------------------------------------------------------------

UNEXPECTED = Code(
    "R120",
    "something else was expected",
    "found {found}, expected {expected}",
    ("{advice}",),
    about="The line begins as a line of the language and then goes on in a way that no such line does.",
)
UNKNOWN_LINE = Code(
    "R121",
    "no such line",
    "found `{word}`, which begins no line in {place}",
    ("write `{near}`, if that is meant", "a line here begins with {words}"),
    about="Every line begins with a word of the language that says what it is; only in `marks` and "
    "`conditions` does it begin with a name, and in a log with a time.",
)
MISSPELT = Code(
    "R122",
    "misspelt word",
    "found `{word}`, which does not fit there",
    ("write `{near}`, if that is meant",),
    about="With the word that it resembles the line can be read.",
)
RESERVED = Code(
    "R123",
    "word of the language used as a name",
    "`{word}` is {what} and cannot be a name",
    ("choose another name, such as `{substitute}`",),
    about="The words of the language, the units among them, are reserved, so that a line can be read in one "
    "way only.",
)
UPPER_CASE = Code(
    "R124",
    "capital letters",
    "found `{word}`, expected small letters",
    ("write `{near}`",),
    about="Words of the language and names are written in small letters, digits and underscores. Only GO, "
    "NO-GO, UNFINISHED, VOID and the ids of candidates and graders have capitals.",
)
NOT_A_NAME = Code(
    "R125",
    "not a name",
    "found `{word}`, which is not a name",
    ("write `{near}`", "a name begins with a small letter and has small letters, digits and underscores"),
    about="A name begins with a small letter and goes on with small letters, digits and underscores: `hand_down`.",
)
UNCLOSED_QUOTE = Code(
    "R126",
    "quote not closed",
    "this quote has no partner in its line",
    ("put a sentence between two quotes in one line",),
    about="A sentence stands between two straight double quotes in one line and holds none itself.",
)
MISSING_QUOTES = Code(
    "R127",
    "sentence without quotes",
    "found `{found}`, expected a sentence in quotes",
    ('write `"{found}"`',),
    about="What is said to the reader (titles, reasons, cautions) stands between straight double quotes.",
)
OTHER_QUOTES = Code(
    "R128",
    "other quotation marks",
    'found the quotation mark `{found}`, expected `"`',
    ("type straight double quotes throughout the file; word processors turn them into curled ones",),
    about="A sentence stands between two straight double quotes, as on a keyboard. Each kind of other marks is reported"
    " once a file.",
)
MISSING_COMMA = Code(
    "R129",
    "comma missing",
    "found `{found}`, expected a comma before it",
    ("write `, {found}`",),
    about="What a rest, an attempts line or a sentence is followed by is set off with a comma.",
)

QUOTE_WITHIN = Code(
    "R130",
    "quote within a sentence",
    "found `{found}` right after a quote, expected a blank",
    ("take the quotes within the sentence away, or write single ones",),
    about="A sentence stands between two straight double quotes and holds none itself.",
)
SECOND_CLAUSE = Code(
    "R133",
    "two clauses in one line",
    "found `{found}` after a clause that is complete, expected the end of the line",
    ("write it in a line of its own",),
    about="A line holds one clause. A limit has a line of its own, below or above the one that it goes with.",
)
MISSING_WORD = Code(
    "R134",
    "word left out",
    "found `{found}`, expected `{missing}` before it",
    ("write `{near}`",),
    about="With the word that is missing the line can be read.",
)
OWN_WORDS = Code(
    "R135",
    "said in other words",
    "found `{found}`, which the language says otherwise",
    ("write `{near}`", "{advice}"),
    about="There is one way to say a thing, so that two standards that mean the same read the same. What is proposed"
    " can be read; whether it is what you mean is for you to say.",
)
OTHER_BLANK = Code(
    "R131",
    "blank of another kind",
    "found the blank {point}, expected an ordinary one",
    ("type it again; word processors put in blanks that only look alike",),
    about="Words are set apart by ordinary blanks or tabs.",
)
NO_BLANK = Code(
    "R132",
    "blank missing",
    "found `{found}`, expected a blank in it",
    ("write `{near}`",),
    about="Words are set apart by blanks, and so are a number and its unit or what is counted.",
)

# --- numbers, units, times -----------------------------------------------------------------------------------

MISSING_UNIT = Code(
    "R140",
    "number without a unit",
    "found `{number}` alone, expected {expected}",
    ("write what it is a number of, for instance {examples}",),
    about="A bare number is a length of time, a number of marks or nothing; nothing is guessed.",
)
UNKNOWN_UNIT = Code(
    "R141",
    "unknown unit",
    "found `{unit}`, which is no unit",
    ("write `{near}`", "{advice}", "the units are {units}"),
    about="Units are written in one way each: h, min, s, ms; km, m, cm, mm, nmi, mi, yd, ft, inch; kg, g, "
    "lb; m/s, km/h, kt, mph; deg.",
)
CALENDAR_UNIT = Code(
    "R142",
    "a length of the calendar",
    "found `{unit}`, which is not always of one length",
    ("write it in hours, as `{near}`", "write it in hours"),
    about="Days, weeks, months and years depend on the calendar and the clock change; a log's time is "
    "counted in hours, minutes and seconds.",
)
CLOCK_FOR_LENGTH = Code(
    "R143",
    "time of a log where a length of time is wanted",
    "found `{found}`, expected a length of time with its units",
    ("write `{near}`",),
    about="`1:40` may be read as minutes and seconds or as hours and minutes; a length of time names its units.",
)
ISO_LENGTH = Code(
    "R144",
    "length of time in another notation",
    "found `{found}`, expected a length of time with its units",
    ("write `{near}`",),
    about="A length of time is written as it is said: `1 min 40 s`.",
)
TOO_LARGE = Code(
    "R145",
    "number too long",
    "found a number of more than {digits} digits before the point",
    ("write a smaller number, or a larger unit",),
    about="Numbers have at most 12 digits before the point.",
)
TOO_FINE = Code(
    "R146",
    "too many decimals",
    "found `{number}`, expected at most {decimals} decimals",
    ("round it, or write a smaller unit",),
    about="Measures are exact and have at most six decimals in the unit they are written in.",
)
DECIMAL_COMMA = Code(
    "R147",
    "comma in a number",
    "found `{found}`, expected a point in the number",
    ("write `{near}`",),
    about="Decimals follow a point, as `2.5 m`; thousands are not set apart.",
)
NOT_WHOLE = Code(
    "R148",
    "not a whole number",
    "found `{found}`, expected a whole number",
    ("marks, attempts and times are counted: write a whole number without decimals",),
    about="What is counted is counted in whole numbers.",
)
NOT_A_TIME = Code(
    "R149",
    "not a length of time",
    "found `{found}`, expected a length of time such as `90 s`",
    ("write it in `h`, `min`, `s` or `ms`",),
    about="Limits of time, rests and silences are lengths of time.",
)
SEVERAL_PARTS = Code(
    "R150",
    "measure of several parts",
    "found `{found}`, expected one number and one unit",
    ("write it in one unit; only a length of time has several, as `1 min 40 s`",),
    about="Only a length of time may have several numbers with their units.",
)
UNITS_NOT_FALLING = Code(
    "R151",
    "units not falling",
    "found `{found}`, expected the larger unit first and each unit once",
    ("write it as `1 h 30 min` or `1 min 40 s`",),
    about="A length of time of several parts names hours, then minutes, then seconds, then milliseconds.",
)
NO_SUCH_CLOCK = Code(
    "R152",
    "no such time",
    "found `{found}`, expected minutes and seconds below 60",
    ("write `m:ss`, or `h:mm:ss` from one hour on",),
    about="A time in a log is elapsed time: `m:ss` with as many minutes as are wanted, or `h:mm:ss`; "
    "seconds, and minutes after hours, are below 60.",
)
CLOCK_SHAPE = Code(
    "R153",
    "time in another shape",
    "found `{found}`, expected a time such as `0:41` or `1:02.4`",
    ("write `{near}`", "write `m:ss`, or `h:mm:ss` from one hour on"),
    about="A time in a log has two digits for the seconds, and for the minutes after hours.",
)
DATE_SHAPE = Code(
    "R154",
    "date in another shape",
    "found `{found}`, expected a date such as `2026-03-01`",
    ("write the year, the month and the day, as `2026-03-01`",),
    about="A date is written as ISO 8601 has it: year, month, day. Others are read differently by different "
    "readers.",
)
NO_SUCH_DATE = Code(
    "R155",
    "no such date",
    "found `{found}`, which is no day of the calendar",
    ("write the year, the month and the day, as `2026-03-01`",),
    about="The date from which an edition is in force must be a day of the calendar.",
)

# --- modifiers ---------------------------------------------------------------------------------------------

ONLY_RESTART_HAS_NUMBER = Code(
    "R160",
    "number on a fault that is no restart",
    "found a greatest number on `{effect}`, expected it on `restart` only",
    ("take it away, or write `more than N times` after the mark",),
    about="`at most N times` bounds how often a clause may be restarted. How many marks a fault lets pass "
    "is said by `more than N times` after the mark.",
)
MODIFIER_TWICE = Code(
    "R163",
    "one modifier twice",
    "found `{words}` twice on one line",
    ("take one of them away",),
    about="Whose entries a number counts is said once: `once a grader`, `by anyone`, or both.",
)
ONLY_HALT_IS_CHARGED = Code(
    "R161",
    "charged on a fault that is no halt",
    "found `charged` on `{effect}`, expected it on `halt` only",
    ("take it away: the attempt is charged in any case",),
    about="A halt gives the attempt back unless the line ends in `, charged`; every other end of an attempt "
    "is charged.",
)
NOT_A_FINDING = Code(
    "R162",
    "not a finding",
    "found `{found}`, expected the code of a finding such as `D104`",
    ("copy the code from what proof prints",),
    about='`accept CODE "why"` names a finding by its code: a capital letter and three digits.',
)
NOT_A_RATE = Code(
    "R164",
    "not a rate",
    "`{found}` is no unit of time",
    ("write `per h`, `per min` or `per s`",),
    about="A rate says how many come in a unit of time, such as `100 per min`.",
)
