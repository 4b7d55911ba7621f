"""What is wrong with a line that does not follow the grammar, and what would mend it."""

from collections.abc import Callable

from standfast.codes import reading
from standfast.diagnostic import Diagnostic
from standfast.language import slips_of_numbers as numbers
from standfast.language import slips_of_place as place
from standfast.language import slips_of_quotes as quotes
from standfast.language import slips_of_sense as sense
from standfast.language import slips_of_words as words
from standfast.language.faulty import FaultyLine
from standfast.language.words import OPEN_KINDS, expectation, model, shortened

# The order matters: the first slip that is recognised is reported, so the surest ones come first.
_SLIPS: tuple[Callable[[FaultyLine], Diagnostic | None], ...] = (
    quotes.other_blank,
    quotes.other_quotes,
    quotes.unclosed_quote,
    quotes.quote_within,
    sense.said_in_own_words,
    sense.two_marks,
    sense.total_or_value,
    sense.title_of_its_own,
    place.begun_otherwise,
    place.misspelt_beginning,
    words.misspelt_name,
    place.belongs_elsewhere,
    place.other_beginning_mends,
    place.begins_elsewhere,
    place.other_beginning,
    place.unknown_line,
    place.second_clause,
    words.bare_silence,
    words.verdict_otherwise,
    numbers.date_shape,
    numbers.clock_shape,
    numbers.clock_for_length,
    numbers.no_blank,
    numbers.other_notation,
    numbers.decimal_comma,
    numbers.not_whole,
    words.missing_comma,
    words.once_otherwise,
    words.said_otherwise,
    words.reserved,
    words.upper_case,
    words.stray_sign,
    words.not_a_name,
    words.split_name,
    words.run_together,
    words.misspelt,
    words.left_out,
    numbers.unknown_unit,
    numbers.missing_unit,
    quotes.missing_quotes,
    words.misspelt_before,
)
_LONGEST_LOOKED_INTO = 1000


def diagnose(line: FaultyLine) -> Diagnostic:
    """The one finding about the line."""
    slips = _SLIPS if len(line.text) <= _LONGEST_LOOKED_INTO else ()
    return next((finding for slip in slips if (finding := slip(line)) is not None), None) or _unexpected(line)


def _unexpected(line: FaultyLine) -> Diagnostic:
    kinds = [word.kind for word in line.stuck.before]
    found = f"`{shortened(line.piece)}`" if line.piece else OPEN_KINDS["_NL"]
    facts = {"found": found, "expected": expectation(kinds, line.stuck.wanted)}
    if (shown := model(line.text, line.place)) is not None:
        facts["advice"] = f"such a line reads `{shown}`"
    return line.finding(reading.UNEXPECTED, line.run, **facts)
