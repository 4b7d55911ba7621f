"""Timestamps against RFC 3339.

Source: G. Klyne and C. Newman, RFC 3339, "Date and Time on the Internet: Timestamps", July 2002. The five strings
are the examples of section 5.8 (seen, in public test files that cite the section); the instants beside them were
worked out by hand. The strings that are not timestamps break section 5.6 (the grammar) or 5.7 (the restrictions).
"""

import pytest

from standfast.log.findings import Refused
from standfast.log.reader import read_log
from standfast.log.times import Timestamp, read_time

FIFTY_EIGHT = [
    # (string, zero to count from, microseconds after it), all seen
    ("1985-04-12T23:20:50.52Z", "1970-01-01T00:00:00Z", 482_196_050_520_000),
    ("1996-12-19T16:39:57-08:00", "1970-01-01T00:00:00Z", 851_042_397_000_000),
    ("1990-12-31T23:59:60Z", "1990-12-31T23:59:00Z", 60_000_000),
    ("1990-12-31T15:59:60-08:00", "1990-12-31T23:59:00Z", 60_000_000),
    ("1937-01-01T12:00:27.87+00:20", "1937-01-01T11:40:27.87Z", 0),
]


def after(zero: str, *times: str) -> list[int]:
    """Microseconds from the zero to each time, as a log has them."""
    lines = [f'{{"session":"S","standard":"check","candidate":"C","started":"{zero}"}}']
    lines += [f'{{"at":"{time}","mark":"go"}}' for time in times]
    raw, diagnostics = read_log("log.jsonl", "\n".join(lines).encode())
    assert diagnostics == ()
    assert raw is not None
    return [entry.at for entry in raw.entries]


@pytest.mark.parametrize(("text", "zero", "microseconds"), FIFTY_EIGHT)
def test_the_examples_of_section_5_8(text: str, zero: str, microseconds: int) -> None:
    assert after(zero, text) == [microseconds]


@pytest.mark.parametrize(
    "text",
    [
        "1985-04-31T00:00:00Z",  # seen: April has 30 days
        "2100-02-29T00:00:00Z",  # seen: no leap year (appendix C)
        "2015-02-30T00:00:00Z",  # seen
        "1990-12-31T24:00:00Z",  # seen: hours stop at 23
        "1990-12-31T25:00:00Z",  # seen
        "1990-12-31T00:65:00Z",  # seen
        "1990-12-31T00:00:90Z",  # seen
        "1990-12-31T00:00:00",  # seen: no zone
        # From the grammar of 5.6, each against a form that calendar libraries are known to let pass.
        "1990-12-31 00:00:00Z",
        "1990-12-31T00:00:00 Z",
        "1990-12-31T00:00Z",
        "1990-12-31T00:00:00+0100",
        "1990-12-31T00:00:00+01",
        "1990-12-31T00:00:00+24:00",
        "1990-12-31T00:00:00+01:60",
        "1990-12-31T00:00:00,5Z",
        "1990-12-31T00:00:00.Z",
        "19901231T000000Z",
        "1990-W52-1T00:00:00Z",
        "90-12-31T00:00:00Z",
        "+1990-12-31T00:00:00Z",
        "1990-00-31T00:00:00Z",
        "1990-13-01T00:00:00Z",
        "١٩٩٠-12-31T00:00:00Z",
        # From 5.7: second 60 only where a leap second stands, in UTC.
        "1990-12-31T22:59:60Z",
        "1990-12-30T23:59:60Z",
        "1990-12-31T23:58:60Z",
        "1990-12-31T23:59:60+01:00",
        "1990-12-31T23:59:61Z",
        "0001-01-01T23:58:60+23:59",
        "9999-12-31T23:59:60-23:59",
    ],
)
def test_what_is_no_timestamp(text: str) -> None:
    assert isinstance(read_time(text), Refused)


@pytest.mark.parametrize(
    "text",
    [
        "2000-02-29T00:00:00Z",  # seen: a leap year (appendix C)
        "1985-04-12t23:20:50.52z",  # seen: 5.6, lower case
        "0001-01-01T00:00:00+23:59",
        "9999-12-31T23:59:60Z",
        "2015-06-30T23:59:60.999999Z",
        "2015-07-01T05:29:60+05:30",
    ],
)
def test_what_is_a_timestamp(text: str) -> None:
    assert isinstance(read_time(text), Timestamp)


def test_one_log_in_two_offsets() -> None:
    # Seen: 16:39:57-08:00 and 00:40:37Z of the next day are 40 s apart.
    assert after("1996-12-19T16:39:57-08:00", "1996-12-20T00:40:37Z") == [40_000_000]


def test_policy_a_leap_second_the_log_shows_is_one_second() -> None:
    """RFC 3339, 5.8: 23:59:60 is the leap second at the end of 1990. Shown in the log, its minute has 61 s."""
    assert after(
        "1990-12-31T23:59:58Z",
        "1990-12-31T23:59:59Z",
        "1990-12-31T15:59:59.999999-08:00",
        "1990-12-31T23:59:60Z",
        "1990-12-31T15:59:60.5-08:00",
        "1991-01-01T00:00:00Z",
        "1991-01-01T01:00:00.25+01:00",
    ) == [1_000_000, 1_999_999, 2_000_000, 2_500_000, 3_000_000, 3_250_000]


def test_policy_a_log_that_shows_none_has_none() -> None:
    assert after("1990-12-31T23:59:58Z", "1990-12-31T23:59:59Z", "1991-01-01T00:00:00Z") == [1_000_000, 2_000_000]


def test_policy_the_zero_may_be_the_leap_second() -> None:
    assert after("1990-12-31T23:59:60.5Z", "1990-12-31T23:59:60.75Z", "1991-01-01T00:00:01Z") == [
        250_000,
        1_500_000,
    ]


def test_policy_two_leap_seconds() -> None:
    six_months = 184 * 86_400 * 1_000_000  # July to December
    assert after(
        "2015-06-30T23:59:59Z", "2015-06-30T23:59:60Z", "2015-12-31T23:59:60Z", "2016-01-01T00:00:00Z"
    ) == [
        1_000_000,
        six_months + 2_000_000,
        six_months + 3_000_000,
    ]


@pytest.mark.parametrize(
    ("earlier", "later"),
    [
        ("1990-12-31T23:59:59.999999Z", "1990-12-31T23:59:60Z"),
        ("1990-12-31T23:59:60.999999Z", "1991-01-01T00:00:00Z"),
        ("1990-12-31T15:59:60.25-08:00", "1990-12-31T23:59:60.5Z"),
    ],
)
def test_policy_no_two_seconds_are_one_instant(earlier: str, later: str) -> None:
    first, second = read_time(earlier), read_time(later)
    assert isinstance(first, Timestamp)
    assert isinstance(second, Timestamp)
    assert first < second
    header = '{"session":"S","standard":"check","candidate":"C","started":"1990-12-31T00:00:00Z"}\n'
    backwards = f'{header}{{"at":"{later}","mark":"go"}}\n{{"at":"{earlier}","mark":"go"}}\n'
    _, diagnostics = read_log("log.jsonl", backwards.encode())
    assert [d.code.number for d in diagnostics] == ["L442"]
