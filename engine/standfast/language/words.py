"""The author's words for what the grammar has: never a terminal's name in a message."""

from collections.abc import Iterable
from difflib import get_close_matches

from standfast.language.places import Place

# Kinds of word that are not one fixed word of the language.
OPEN_KINDS: dict[str, str] = {
    "NAME": "a name",
    "PATH": "a path such as `water.tread.within`",
    "ID": "an id such as `C-014`",
    "INT": "a whole number",
    "DECIMAL": "a number",
    "UNIT": "a unit such as `s` or `m`",
    "DATE": "a date such as `2026-03-01`",
    "CLOCK": "a time such as `0:41`",
    "TEXT": "a sentence in quotes",
    "COMMA": "a comma",
    "A_GRADER": "`a grader`",
    "PERCENT": "`%`",
    "A_HEADING": "`a heading`",
    "A_NUMBER": "`a number`",
    "COLON": "a colon",
    "IN_A_ROW": "`in a row`",
    "IN_ALL": "`in all`",
    "NAMES_A_ROUND": "`names a round`",
    "_NL": "the end of the line",
}

# What is expected after certain words, said as an author would; the longest that fits counts.
_LENGTH = "a length of time such as `90 s`"
_MARK = "the name of a mark"
_MARKS = "a number of marks such as `4 throws`"
_NAME = "a name such as `first_swim`"
AFTER: dict[tuple[str, ...], str] = {
    ("WITHIN",): f"{_LENGTH}, or {_MARKS}",
    ("NOT", "BEFORE"): _LENGTH,
    ("BEFORE",): _MARKS,
    ("UNTIL",): f"{_MARK}, or {_MARKS}",
    ("START", "ON"): _MARK,
    ("START", "WITH"): "`first` and the name of a mark",
    ("FIRST",): _MARK,
    ("ON",): f"{_MARK}, or `no` and a mark",
    ("NO",): _MARK,
    ("ATTEMPTS",): "a number, or `without limit`",
    ("EVENT",): _NAME,
    ("STEP",): _NAME,
    ("IN", "ORDER"): _NAME,
    ("ANY", "ORDER"): _NAME,
    ("ONE", "OF"): _NAME,
    ("STANDARD",): _NAME,
    ("IS", "ONE", "OF"): "the names of the choices",
    ("AS",): "a label for the clause's path",
    ("REST",): "`at least`, `at most` or `from`, and a length of time",
    ("ELSE",): "what the breach does: `note`, `restart`, `fail`, `halt` or `disqualify`",
    ("FORCE", "FROM"): "a date such as `2026-03-01`",
    ("WITH",): "the name of a condition or a fact",
    ("ONLY", "FOR"): "the name of a fact and one of its choices",
    ("PERCENT", "OF"): "the name of a fact",
    ("PERCENT",): "`of` and the name of a fact, as in `5 % of body_mass`",
    ("GIVES",): "a verdict, points, a grade or the path of a clause",
    ("GRADE",): _NAME,
    ("OTHERWISE",): "`gives` and points, or `fails`",
    ("SCORE", "FROM"): "a figure such as `time` or `count of MARK`",
    ("CASE",): "what the case shows, a sentence in quotes",
    ("ACCEPT",): "the code of a finding such as `D104`",
    ("BY",): "the id of a grader such as `G-2`",
    ("COMMA", "BY"): "`anyone`",
    ("COMMA", "ONCE"): "`a grader`",
    ("COMMA", "OF"): "a number of readings such as `3 the middle`",
    ("INT", "THE"): "`first`, `middle`, `mean`, `longer`, `shorter`, `larger` or `smaller`",
    ("BEST",): "`by` and a figure such as `last of load`",
    ("BEST", "BY"): "a figure such as `last of load` or `time`",
    ("ROUNDED",): "`up`, `down` or `nearest`",
    ("TIES",): "`up` or `to even`",
    ("TIES", "TO"): "`even`",
    ("ROUNDS",): _NAME,
    ("TRIES",): "how often a round may be tried, a whole number",
    ("ARE",): "`made`, `missed` or `passed`",
    ("OUT", "ON"): f"{_MARK}, or a number of misses such as `2 misses in a row`",
    ("MISSES",): "`in a row` or `in all`",
    ("THAN",): "a number, `once` or `twice`, or the names of other values",
}
_PHRASES = (
    *("UNIT", "PERCENT", "TEXT", "COMMA", "COLON"),
    *("A_HEADING", "A_GRADER", "IN_A_ROW", "IN_ALL", "NAMES_A_ROUND"),
)
_TEST = frozenset({"AT", "OVER", "UNDER", "FROM", "EXACTLY"})
_LENGTH_AFTER = {("FOR",), ("OVER",), ("UNDER",)}

_LONGEST_SHOWN = 60
_MOST_SAID = 20  # of what would fit, in one message
_LONGEST_WORD = 40
NEAR = 0.7
VERY_NEAR = 0.8

# A line of each kind, by the words that begin it.
MODELS = (
    'edition "3.1"',
    "in force from 2026-03-01",
    'authority "Example Estuary Rescue, crew order 12"',
    'caution "Cold water can kill"',
    'guidance "Let the candidate warm up first"',
    "carry on",
    "events in any order",
    "owed at the end fails",
    "times within 0.3 s",
    'accept D104 "the mark is for the record only"',
    'attempts 2, rest at least 2 min between, else note "called up early"',
    "best by last of load",
    "start on go",
    "only if begun",
    "until 2 hits",
    "for 4 min",
    'within 90 s "too slow" as pace',
    "under 90 s",
    "not before 2 min",
    "before 3 throws",
    "score from time",
    "otherwise gives 1",
    "at least 2 answers",
    "no answer for over 45 s",
    'note on hand_down "a hand under water"',
    'restart on let_go "let go of the casualty", at most once',
    'fail on hand_down more than 2 times "a third hand under water" as hands',
    'miss on short "not over the line"',
    "pass on passes",
    'out on 2 misses in a row "two in a row"',
    "unmarked rounds are made",
    "tries 3",
    "paced over 20 m",
    'furthest at least level 2 shuttle 1 "below entry level"',
    "made at least 3",
    "missed at most 2",
    'halt on stop_call "stopped for safety"',
    'disqualify on help "took help"',
    'rest at least 20 s, else fail "pulled too early"',
    'standard crew_entry "Crew entry check"',
    "conditions",
    "marks",
    "always",
    "candidate",
    "only for duty boat",
    'grade boat_crew "Boat crew"',
    'event water "Tread, recover, tow"',
    'step reach "Reach the casualty"',
    "in order casualty",
    "in any order checks",
    "any one of methods",
    'rounds ladder "The shuttle swim"',
    'case "a third hand under water ends the attempt"',
    "with lookouts 2",
    "log water",
    "gives water.tread.within fails at 20:00",
)

# The same for lines that begin with no fixed word.
MODELS_IN = {
    Place.CONDITIONS: ("water_depth at least 2.5 m",),
    Place.CANDIDATE: (
        'body_mass in kg "Weighed on the day"',
        "duty is one of shore, boat",
        "entry_heading is a heading",
    ),
    Place.GRADE: ("points at least 12",),
    Place.SCORE: ("under 6 min gives 5", "otherwise gives 1"),
    Place.MARKS: (
        'go "The starter\'s signal"',
        'check is one of fuel, neutral "A check the candidate calls"',
        'line_in in m "Line recovered since the last such mark"',
    ),
    Place.LOG: ("6:10 check fuel by G-2",),
    Place.ROUNDS: ("level 1: shuttle 1 to 7, at 8.0 km/h", "at 1.91 m, 1.93 m, 1.95 m", "5 rounds"),
}

# Names that authors have used in place of a reserved word.
_SUBSTITUTES = {
    "case": "example",
    "end": "finish",
    "event": "station",
    "fail": "failure",
    "first": "first_one",
    "halt": "stop_call",
    "limit": "bound",
    "made": "reached",
    "miss": "fell_short",
    "missed": "fell_short",
    "misses": "failures",
    "pass": "passes",
    "passed": "passes",
    "round": "lap",
    "rounds": "laps",
    "log": "record",
    "note": "remark",
    "order": "command",
    "rest": "pause",
    "restart": "begin_again",
    "start": "go",
    "step": "stage",
    "time": "clock",
}

# Words and signs that others use, at the beginning of a line and elsewhere, and those of the language.
BEGINNINGS_OTHERWISE: dict[str, tuple[str, ...]] = {
    "after": ("not before",),
    "at most": ("within",),
    "begin": ("start",),
    "in": ("within",),
    "less than": ("under", "before"),
    "max": ("within",),
    "maximum": ("within",),
    "no more than": ("within",),
    "not more than": ("within",),
    "not after": ("within",),
    "up to": ("within",),
}
_NUMBERS = ("one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")
OTHERWISE: dict[str, tuple[str, ...]] = {
    ">": ("over",),
    ">=": ("at least",),
    "\u2265": ("at least",),
    "<": ("under",),
    "<=": ("at most",),
    "\u2264": ("at most",),
    "=": ("exactly",),
    "==": ("exactly",),
    "above": ("over",),
    "and": ("to",),
    "below": ("under",),
    "between": ("from",),
    "equals": ("exactly",),
    "if": ("on",),
    "max": ("at most",),
    "maximum": ("at most",),
    "min": ("at least",),
    "minimum": ("at least",),
    "unlimited": ("without limit",),
    "upon": ("on",),
    "when": ("on",),
    **{word: (str(number),) for number, word in enumerate(_NUMBERS, 1)},
}

# What may have been left out before a word.
LEFT_OUT = ("on", "is", "of", "the", "than", "first", "more than", ", at most")

# Units as others write them.
_UNITS_OTHERWISE = {
    "h": ("hour", "hours", "hr", "hrs"),
    "min": ("minute", "minutes", "mins"),
    "s": ("sec", "secs", "second", "seconds"),
    "ms": ("msec", "millisecond", "milliseconds"),
    "km": ("kms", "kilometre", "kilometres", "kilometer", "kilometers"),
    "m": ("metre", "metres", "meter", "meters", "mtr"),
    "cm": ("cms", "centimetre", "centimetres", "centimeter", "centimeters"),
    "mm": ("millimetre", "millimetres", "millimeter", "millimeters"),
    "nmi": ("nm", "nautical_mile", "nautical_miles"),
    "mi": ("mile", "miles"),
    "yd": ("yard", "yards", "yds"),
    "ft": ("foot", "feet"),
    "inch": ("in", "inches"),
    "kg": ("kgs", "kilo", "kilos", "kilogram", "kilograms"),
    "g": ("gram", "grams", "gramme", "grammes"),
    "lb": ("lbs", "pound", "pounds"),
    "m/s": ("mps",),
    "km/h": ("kmh", "kph"),
    "kt": ("kn", "kts", "knot", "knots"),
    "deg": ("degree", "degrees", "\u00b0"),
}
UNIT_MEANT: dict[str, str] = {other: unit for unit, others in _UNITS_OTHERWISE.items() for other in others}

# Which of several readings, as others say it.
PICK_MEANT = {
    "median": "middle",
    "average": "mean",
    "longest": "longer",
    "slower": "longer",
    "slowest": "longer",
    "shortest": "shorter",
    "faster": "shorter",
    "fastest": "shorter",
    "largest": "larger",
    "higher": "larger",
    "smallest": "smaller",
    "lower": "smaller",
}

# Lengths of the calendar, in hours where they have a usual one.
CALENDAR: dict[str, int | None] = {
    "day": 24,
    "days": 24,
    "week": 168,
    "weeks": 168,
    "month": None,
    "months": None,
    "year": None,
    "years": None,
}


def is_word(kind: str) -> bool:
    """Whether the kind is one fixed word of the language."""
    return kind not in OPEN_KINDS and not kind.startswith("_")


def spelled(kind: str) -> str:
    """A fixed word as it is written."""
    return kind.replace("_", "-") if kind in {"GO", "NO_GO", "UNFINISHED", "VOID"} else kind.lower()


_WHOLE_BEGINNINGS = {
    "any": "any one of",
    "at": "at least",
    "carry": "carry on",
    "events": "events in any order",
    "not": "not before",
    "only": "only for` or `only if begun",
    "owed": "owed at the end fails",
    "times": "times within",
}


def beginnings(words: Iterable[str]) -> str:
    """The words that may begin a line, as a help line lists them."""
    firsts = set(words)
    if not any(word.startswith("in ") for word in firsts):
        firsts = {"in force from" if word == "in" else word for word in firsts}
    whole = {_WHOLE_BEGINNINGS.get(word, word) for word in firsts - {"in"}}
    return one_of([f"`{word}`" for word in sorted(whole)])


def substitute(word: str) -> str:
    """A name to use in place of a reserved word."""
    return _SUBSTITUTES.get(word, f"{word}_1".replace("/", "_").replace("-", "_").lower())


def model(line: str, place: Place) -> str | None:
    """A well-formed line of the kind that this one begins like, or of its place."""
    words = line.split()
    shared = {model: _shared(words, model.split()) for model in MODELS}
    best = max(MODELS, key=lambda model: shared[model])
    if shared[best]:
        return best
    others = MODELS_IN.get(place, ())
    return next((other for other in others if other.split()[1] in words), others[0] if others else None)


def _shared(words: list[str], others: list[str]) -> int:
    """How many first words are the same."""
    return next(
        (n for n, (a, b) in enumerate(zip(words, others, strict=False)) if a != b), min(len(words), len(others))
    )


def expectation(before: Iterable[str], wanted: frozenset[str]) -> str:
    """What would fit after words of these kinds, of the kinds wanted, as an author would say it."""
    kinds = tuple(before)
    if kinds[-1:] == ("UNIT",):  # a length of time may go on, but that is not what one misses
        wanted -= {"INT", "DECIMAL"}
    for length in (3, 2, 1):
        ending = kinds[-length:]
        if len(ending) == length and ending in AFTER:
            return AFTER[ending]
    if kinds[-1:] in _LENGTH_AFTER and "INT" in wanted:
        return _LENGTH
    if kinds[-1:] == ("INT",) and wanted == {"NAME"}:
        return _MARK
    said = [OPEN_KINDS[kind] for kind in ("NAME", "PATH", "ID", "DATE", "CLOCK") if kind in wanted]
    if "DECIMAL" in wanted:
        said.append("a number")
    elif "INT" in wanted:
        said.append("a whole number")
    said += [OPEN_KINDS[kind] for kind in _PHRASES if kind in wanted]
    if wanted >= _TEST:
        said.append("a test such as `at least 2`")
        wanted -= _TEST
    said += sorted(f"`{spelled(kind)}`" for kind in wanted if is_word(kind))
    if "_NL" in wanted:
        said.append(OPEN_KINDS["_NL"])
    return one_of(
        said if len(said) <= _MOST_SAID else [*said[:_MOST_SAID], "another word that begins a line here"]
    )


def one_of(said: list[str]) -> str:
    """`a`, `a or b`, `a, b or c`."""
    return said[0] if len(said) == 1 else f"{', '.join(said[:-1])} or {said[-1]}"


def shortened(text: str) -> str:
    """The text as far as a message shows it."""
    return text if len(text) <= _LONGEST_SHOWN else text[: _LONGEST_SHOWN - 1] + "\u2026"


def near_word(word: str, words: set[str], least: float = NEAR) -> str | None:
    """The one of `words` that this one is most like; `least` is how like it must be, from 0 to 1."""
    if not word or len(word) > _LONGEST_WORD:
        return None
    return next(iter(get_close_matches(word, sorted(words), n=1, cutoff=least)), None)
