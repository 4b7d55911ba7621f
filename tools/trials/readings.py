"""Spoilt logs by both ways of reading: what the short way takes, the careful way must take for the same log.

Held to: the short way gives a log only where the careful way gives one and has nothing to say, and the two are the
same to the letter; and whatever the careful way says is what a caller is told.
"""

import json
import re
import tempfile
import time
from collections import Counter
from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta, timezone
from multiprocessing import Pool
from pathlib import Path
from random import Random

from attrs import frozen
from plausible_corrections import corrected
from plausible_logs import random_log
from shipped import folders, logs

from standfast.command.shelf import shelf
from standfast.log.bind import bind
from standfast.log.reader import read_log
from standfast.log.regular import regular_log
from standfast.log.times import Elapsed, read_time
from standfast.log.writer import log_bytes
from standfast.pipeline import Ready
from trials.corpus import ROOT
from trials.pairs import legal_standard
from trials.spoiling import spoilt

_SHARE = 2_000
_RANDOM = 12  # standards made up for a share
_TIMES = (
    *(
        "0:05.",
        "00:05",
        "1:00:05",
        "1:5",
        "-0:05",
        "0:60",
        "61:00",
        "1:61:00",
        "1:1:00",
        ":05",
        "0:",
        "5",
        "0::05",
    ),
    *("0:05.1234567", "0:05.000000", "999999999999:00", "9999999999999:00", "0:05.1.2", "0\u0660:05", "0:05 ", ""),
    *("2026-12-31T23:59:60Z", "2026-04-30T23:59:60.5Z", "2026-04-30T10:00:05+01:00", "2026-04-30t09:59:59z"),
    *("2026-04-30T23:59:60", "2026-04-30T9:59:59Z", "2026-04-30T24:00:00Z", "2026-05-01T00:00:00.1234567Z"),
    *("0000000000000:05", "2026-04-11T09:00:05Z", "0:00", "0:00.000001", "0:05\\u002e5", "0:0\\u0035"),
)
_TEXTS = (
    *('""', '" "', '"\\u2028"', '"\\u202e"', '"\\ud800"', '"\\ud83d\\udea9"', '"\u00e9"', '"\u2028"', '"\u202e"'),
    *('"\x7f"', '"\x85"', '"\t"', '"\\t"', '"\\n"', '"a\\"b"', '"all"', '"C-1"', '"go"', '"40 m"', '"\u00a0"'),
    *("40", "-0", "1e3", "1.50", "9" * 400, "NaN", "-Infinity", "true", "null", "{}", "[]", '{"a":1,"a":2}', "01"),
    *("[" * 9 + "]" * 9, "[" * 1500 + "]" * 1500, '"' + "x" * 1200 + '"', '"' + "x" * 70_000 + '"', "'go'"),
)
_KEYS = (
    "at",
    "mark",
    "value",
    "candidate",
    "by",
    "note",
    "end",
    "session",
    "strike",
    "join",
    "m\\u0061rk",
    "Mark",
)
_KEYS_OF_A_HEADER = (
    *("session", "standard", "edition", "candidate", "candidates", "started", "conditions", "facts", "grader"),
    *("amend", "leave", "at", "started"),
)
_CONDITIONS = (
    *("{}", "[]", '"x"', "null", '{"water_depth": "3.2 m"}', '{"lookouts": 2}', '{"lookouts": 2.0}'),
    *(
        '{"lookouts": 2, "lookouts": 2}',
        '{"buoyancy_aid": "yes"}',
        '{"water_depth": " "}',
        '{"water_depth": null}',
    ),
)
_ENDS = (
    "",
    "\n\n",
    "\n \n",
    "\r\n",
    '\n{"end": "9:00:00"}',
    '\n{"end":"0:00"}\n',
    "\n[]\n",
    "\n\x0c\n",
    "\n\u2028\n",
)


@frozen
class Known:
    """A standard and a good log of it."""

    ready: Ready
    log: str


@frozen
class Offence:
    what: str
    log: bytes


# --- slips ---------------------------------------------------------------------------------------------------

Slip = Callable[[Random, list[str]], None]
"""What is done to the lines of a log."""


def _line(rng: Random, lines: list[str]) -> int:
    return rng.randrange(len(lines)) if rng.random() < 0.3 else rng.randrange(min(1, len(lines) - 1), len(lines))


def _a_time(rng: Random, lines: list[str]) -> None:
    at = _line(rng, lines)
    time_written = rng.choice(_TIMES)
    lines[at] = re.sub(r'("(?:at|end)": ?")[^"]*"', lambda found: f'{found[1]}{time_written}"', lines[at])


def _a_key_more(rng: Random, lines: list[str]) -> None:
    at, pair = _line(rng, lines), f'"{rng.choice(_KEYS)}": {rng.choice(_TEXTS)}'
    if rng.random() < 0.7:
        lines[at] = f"{lines[at][:-1]}, {pair}" + "}"
    else:
        lines[at] = "{" + f"{pair}, {lines[at][1:]}"


def _a_header_otherwise(rng: Random, lines: list[str]) -> None:
    key = rng.choice(_KEYS_OF_A_HEADER)
    value = rng.choice(_CONDITIONS if key in ("conditions", "facts") else _TEXTS)
    if rng.random() < 0.5:
        lines[0] = f'{lines[0][:-1]}, "{key}": {value}' + "}"
    elif key == "conditions":
        lines[0] = re.sub(r'("conditions": ?){[^}]*}', lambda found: found[1] + value, lines[0])
    else:
        lines[0] = re.sub(rf'("{key}": ?)"[^"]*"', lambda found: found[1] + value, lines[0])


def _another_value(rng: Random, lines: list[str]) -> None:
    at = _line(rng, lines)
    key, value = rng.choice(_KEYS[:6]), rng.choice(_TEXTS)
    lines[at] = re.sub(rf'("{key}": ?)"[^"]*"', lambda found: found[1] + value, lines[at])


def _a_character_escaped(rng: Random, lines: list[str]) -> None:
    at = _line(rng, lines)
    found = list(re.finditer("[A-Za-z_0-9:.]", lines[at]))
    if found:
        one = rng.choice(found)
        lines[at] = f"{lines[at][: one.start()]}\\u{ord(one[0]):04x}{lines[at][one.end() :]}"


def _keys_in_another_order(rng: Random, lines: list[str]) -> None:
    at = _line(rng, lines)
    try:
        pairs = list(json.loads(lines[at]).items())
    except (ValueError, AttributeError, RecursionError):
        return
    rng.shuffle(pairs)
    lines[at] = json.dumps(dict(pairs), ensure_ascii=rng.random() < 0.5)


def _white_space(rng: Random, lines: list[str]) -> None:
    at = _line(rng, lines)
    places = [found.start() for found in re.finditer('[{}":,]', lines[at])]
    if places:
        place = rng.choice(places) + rng.randrange(2)
        lines[at] = (
            lines[at][:place] + rng.choice((" ", "  ", "\t", "\r", "\x0b", "\u00a0", ",")) + lines[at][place:]
        )


def _lines_about(rng: Random, lines: list[str]) -> None:
    one, other = _line(rng, lines), _line(rng, lines)
    match rng.randrange(4):
        case 0:
            lines.insert(other, lines[one])
        case 1:
            lines[one], lines[other] = lines[other], lines[one]
        case 2:
            lines[one] += lines[other]
        case 3:
            lines[one] = rng.choice(("", " ", "x", "\ufeff")) + lines[one]


_SLIPS: tuple[Slip, ...] = (
    *(_a_time,) * 2, *(_a_key_more,) * 3, *(_another_value,) * 3, *(_a_header_otherwise,) * 2,
    _a_character_escaped, _keys_in_another_order, _white_space, _lines_about,
)  # fmt: skip


def by_the_clock(rng: Random, text: str) -> str:
    """The same log with timestamps, in the zone of the zero or in several."""
    zero = datetime(2026, rng.choice((4, 12)), 30, rng.choice((9, 23)), 59, rng.randrange(60), tzinfo=UTC)
    offsets = rng.choice(((0,), (60,), (0, 60, -330)))

    def stamp(found: re.Match[str]) -> str:
        time = read_time(found[2])
        if not isinstance(time, Elapsed) or time.microseconds > 10**12:
            return found[0]
        at = zero + timedelta(microseconds=time.microseconds)
        shown = at.astimezone(timezone(timedelta(minutes=rng.choice(offsets)))).isoformat()
        return f'{found[1]}"{shown.replace("+00:00", "Z")}"'

    header, rest = text.split("\n", 1)
    header = re.sub(r', ?"started": ?"[^"]*"', "", header)
    header = f'{header[:-1]}, "started": "{zero.isoformat()}"' + "}"
    return f"{header}\n" + re.sub(r'("(?:at|end)": ?)"([0-9:.]+)"', stamp, rest)


def slipped(rng: Random, text: str) -> bytes:
    """A log with up to three slips in it, or spoilt in any way."""
    if rng.random() < 0.3:
        text = by_the_clock(rng, text)
    if rng.random() < 0.2:
        return spoilt(rng, text)
    lines = text.rstrip("\n").split("\n")
    for _ in range(rng.randrange(4)):
        rng.choice(_SLIPS)(rng, lines)
    end = rng.choice(_ENDS) if rng.random() < 0.1 else "\n"
    between = "\r\n" if rng.random() < 0.03 else "\n"
    before = "\ufeff" if rng.random() < 0.02 else ""
    return (before + between.join(lines) + end).encode("utf-8", "surrogatepass")


# --- the trial -----------------------------------------------------------------------------------------------


def trial(seed: str, count: int) -> tuple[Counter[str], list[Offence]]:
    """`count` logs: which way they went, and those of which the ways were of two minds."""
    ways: Counter[str] = Counter()
    wrong = []
    kept = [*_shipped(), *_made(Random(seed))]
    for number in range(count):
        rng = Random(f"{seed}/{number}")
        known = rng.choice(kept)
        data = slipped(rng, known.log)
        way, what = compared(known.ready, data)
        ways[way] += 1
        if what is not None:
            wrong.append(Offence(f"seed {seed}, log {number}: {what}", data))
    return ways, wrong


def compared(ready: Ready, data: bytes) -> tuple[str, str | None]:
    """Which way a log went, and what is wrong with that."""
    raw, found = read_log("log.jsonl", data)
    careful = None
    if raw is not None:
        careful, more = bind(raw, ready.standard)
        found += more
    told, said = ready.log("log.jsonl", data)
    if (repr(told), said, repr(said)) != (repr(careful), found, repr(found)):
        return "told", f"told {said!r} {told!r} and not {found!r} {careful!r}"
    regular = regular_log("log.jsonl", data)
    short = None if regular is None else ready.known.session_log(regular)
    if regular is None or short is None:
        return ("careful, refused" if careful is None else "careful, read"), None
    if careful is None or found:
        return "short", f"the short way takes what is refused: {found!r}"
    assert raw is not None
    if (short, repr(short), repr(regular.opening.header)) != (careful, repr(careful), repr(raw.header)):
        return "short", f"the short way reads {short!r} for {careful!r}"
    header = regular.opening.header
    if (header.span, {**header.spans}, regular.opening.source) != (
        raw.header.span,
        {**raw.header.spans},
        raw.source,
    ):
        return "short", "the header has another place"
    return ("short" if short.zero is None else "short, by the clock"), None


def _shipped() -> Iterator[Known]:
    for folder in folders(ROOT):
        standards = shelf([str(folder)])
        for path in logs(folder):
            raw, _ = read_log(path.name, path.read_bytes())
            standard = None if raw is None else standards.find(raw.header)[0]
            if standard is not None:
                yield Known(standards.ready(standard), path.read_text(encoding="utf-8"))


def _made(rng: Random) -> Iterator[Known]:
    for _ in range(_RANDOM):
        _, machine, _ = legal_standard(rng)
        ready = Ready(machine.standard)
        for _ in range(3):
            log = random_log(rng, machine)
            log = corrected(rng, log, machine.standard) if rng.random() < 0.2 else log
            yield Known(ready, log_bytes(log).decode("utf-8"))


def _share(job: tuple[str, int]) -> tuple[Counter[str], list[Offence]]:
    return trial(*job)


def hold(count: int, seed: int, jobs: int) -> int:
    """Prints which ways the logs went and keeps the first offences; the result is the exit code."""
    started = time.monotonic()
    work = [(f"{seed}.{part}", min(_SHARE, count - part * _SHARE)) for part in range(-(-count // _SHARE))]
    ways: Counter[str] = Counter()
    wrong: list[Offence] = []
    with Pool(jobs) as pool:
        for counts, found in pool.imap_unordered(_share, work):
            ways += counts
            wrong += found
    if wrong:
        folder = Path(tempfile.mkdtemp(prefix="readings_"))
        for number, offence in enumerate(wrong[:20]):
            (folder / f"{number}.jsonl").write_bytes(offence.log)
            print(f"{folder}/{number}: {offence.what}")
    print(f"readings: {count}, seed {seed}, offences: {len(wrong)}, {time.monotonic() - started:.0f} s")
    for name, number in sorted(ways.items()):
        print(f"    {name}: {number}")
    return 1 if wrong else 0
