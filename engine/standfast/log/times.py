"""The times of a log: elapsed times, and timestamps of RFC 3339.

Leap seconds: a timestamp is taken as written. It is a minute of UTC and a second within it, 0 to 60, and
two of them are ordered by the minute first; so 23:59:60 stands after 23:59:59 and before 00:00:00 of the next
day, and no two different seconds are one instant. A minute lasts 60 s, or 61 s if the log itself shows its
second 60: then 23:59:59 to 23:59:60 is 1 s and 23:59:59 to 00:00:00 is 2 s (RFC 3339, 5.8). A log that shows no
`:60` was written by a clock that knows of no leap second, and its minutes are all of 60 s. No table of leap
seconds is consulted, so that a log is worth the same whenever it is graded.

Second 60 is read only where a leap second can stand: in the last minute, in UTC, of a month.
"""

import re
from datetime import date, datetime, time, timedelta

from standfast.codes import log as codes
from standfast.log.findings import Refused, shown
from standfast.values import field, frozen

SECOND = 1_000_000
DIGITS = 12
_DAY = 24 * 60

_ELAPSED = re.compile(r"(-?)(?:([0-9]+):)?([0-9]+):([0-9]{2})(?:\.([0-9]+))?")
_TIMESTAMP = re.compile(
    r"([0-9]{4})-([0-9]{2})-([0-9]{2})[Tt]([0-9]{2}):([0-9]{2}):([0-9]{2})(?:\.([0-9]+))?"
    r"([Zz]|([+-])([0-9]{2}):([0-9]{2}))?"
)


@frozen
class Elapsed:
    """Microseconds since the session's zero."""

    microseconds: int


@frozen(order=True)
class Timestamp:
    """An instant: UTC minutes since the day before 0001-01-01, and microseconds within that minute.

    `microseconds` is 60 s or more in a leap second. `day` is the date as written, in the writer's own zone, which
    is `offset` minutes ahead of UTC.
    """

    minute: int
    microseconds: int
    day: date = field(eq=False, order=False)
    offset: int = field(eq=False, order=False)

    @property
    def shown(self) -> datetime:
        """What the writer's clock showed, without its zone; there must be no leap second."""
        day = datetime.combine(self.day, time())
        in_day = self.minute + self.offset - self.day.toordinal() * _DAY
        return day + timedelta(minutes=in_day, microseconds=self.microseconds)

    @property
    def in_leap_second(self) -> bool:
        return self.microseconds >= 60 * SECOND

    def since(self, zero: "Timestamp", leaps: int) -> int:
        """Microseconds from `zero` to this instant; `leaps` is how many minutes between had a second 60."""
        return ((self.minute - zero.minute) * 60 + leaps) * SECOND + self.microseconds - zero.microseconds


def read_time(text: str) -> Elapsed | Timestamp | Refused:
    if found := _ELAPSED.fullmatch(text):
        return _elapsed(text, found)
    if found := _TIMESTAMP.fullmatch(text):
        return _timestamp(text, found)
    return Refused(codes.NOT_A_TIME, {"text": shown(text)})


def _elapsed(text: str, found: re.Match[str]) -> Elapsed | Refused:
    sign, hours, minutes, seconds, decimals = found.groups(default="")
    as_shown = shown(text)
    if sign:
        return Refused(codes.NEGATIVE_TIME, {"text": as_shown})
    if hours and len(minutes) != 2:
        return Refused(codes.NOT_A_TIME, {"text": as_shown})
    if len(hours) > DIGITS or len(minutes) > DIGITS:
        return Refused(codes.TOO_LARGE, {"text": as_shown, "limit": str(DIGITS)})
    if hours and int(minutes) > 59:
        return _beyond(as_shown, minutes, "minutes", 59)
    if int(seconds) > 59:
        return _beyond(as_shown, seconds, "seconds", 59)
    if len(decimals) > 6:
        return Refused(codes.TOO_MANY_DECIMALS, {"text": as_shown, "count": str(len(decimals))})
    whole = (int(hours or 0) * 60 + int(minutes)) * 60 + int(seconds)
    return Elapsed(whole * SECOND + int(decimals.ljust(6, "0")))


def _timestamp(text: str, found: re.Match[str]) -> Timestamp | Refused:
    year, month, number, hour, minute, second, decimals, zone, sign, off_hours, off_minutes = found.groups(
        default=""
    )
    as_shown = shown(text)
    try:
        day = date(int(year), int(month), int(number))
    except ValueError:
        return Refused(codes.NO_SUCH_DATE, {"text": as_shown, "date": f"{year}-{month}-{number}"})
    for digits, part, limit in (
        (hour, "hours", 23),
        (minute, "minutes", 59),
        (second, "seconds", 60),
        (off_hours or "0", "hours of offset", 23),
        (off_minutes or "0", "minutes of offset", 59),
    ):
        if int(digits) > limit:
            return _beyond(as_shown, digits, part, limit)
    if len(decimals) > 6:
        return Refused(codes.TOO_MANY_DECIMALS, {"text": as_shown, "count": str(len(decimals))})
    if not zone:
        return Refused(codes.NO_ZONE, {"text": as_shown})
    offset = int(off_hours or 0) * 60 + int(off_minutes or 0)
    local = day.toordinal() * _DAY + int(hour) * 60 + int(minute)
    if sign == "-":
        offset = -offset
    in_utc = local - offset
    if second == "60" and not _last_of_month(in_utc):
        return Refused(codes.NO_LEAP_SECOND, {"text": as_shown})
    return Timestamp(in_utc, int(second) * SECOND + int(decimals.ljust(6, "0")), day, offset)


def _beyond(text: str, digits: str, part: str, limit: int) -> Refused:
    return Refused(codes.OUT_OF_RANGE, {"text": text, "count": digits, "part": part, "limit": str(limit)})


def _last_of_month(minute: int) -> bool:
    ordinal, rest = divmod(minute, _DAY)
    if rest != _DAY - 1 or not 1 <= ordinal <= date.max.toordinal():
        return False
    day = date.fromordinal(ordinal)
    from calendar import monthrange  # only for a second 60

    return day.day == monthrange(day.year, day.month)[1]
