"""Standards of any size: so many events, about so many lines. Every kind of line that is common stands in them."""

from collections.abc import Iterator

_HEADER = """standard large_check "A check as large as is wanted"
    edition "1"
    in force from 2026-01-01
    authority "Example Estuary Rescue (invented)"

conditions
    lookouts at least 2 "Lookouts with nothing else to do"

"""
_MARKS = """    go_{n} "The starter's signal"
    throw_{n} "A throw leaves the hand"
    hit_{n} "The line falls within reach"
    check_{n} is one of fuel, cord, gear "A check the candidate makes and calls"
    line_in_{n} in m "Line recovered since the last such mark"
    slip_{n} "A foot leaves its rung"
    answer_{n} "The candidate answers the call"
    stop_{n} "Anyone calls stop for safety"
"""
_EVENT = """
event event_{n} "One part of the test"
    attempts 2, rest at least 2 min between, else note "called up early"
    start on go_{n}
    within 3 h
    halt on stop_{n} "stopped for safety"
"""
_STATION = """    in order station_{s} "One station of the event"
        fail on slip_{n} more than twice "a third slip"
        step throws "Two hits in four throws"
            until 2 hit_{n}
            within 4 throw_{n}
            within 90 s
        in any order checks
            step fuel
                until check_{n} fuel
            step cord
                until check_{n} cord
        rest at least 20 s, else fail "went on too soon"
        step hold "Hold, and answer the calls"
            start with first answer_{n}
            for 1 min
            no answer_{n} for over 45 s "did not answer"
        step recover
            until line_in_{n} totals 60 m
            within 5 min "too slow"
"""
_LINES_OF_EVENT = 5 + 8  # with its marks
_LINES_OF_STATION = _STATION.count("\n")


def rules_of(events: int, lines: int) -> str:
    """So many events; at least a station each, and as many more as make about so many lines."""
    return "".join(_parts(events, lines))


def _parts(events: int, lines: int) -> Iterator[str]:
    stations = max(1, round((lines / events - _LINES_OF_EVENT) / _LINES_OF_STATION))
    yield _HEADER
    yield "marks\n"
    yield from (_MARKS.format(n=number) for number in range(events))
    for number in range(events):
        yield _EVENT.format(n=number)
        yield from (_STATION.format(n=number, s=station) for station in range(stations))
