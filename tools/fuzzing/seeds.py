"""What a fuzzer starts from: the shipped files and those of the tests, and the words they are made of."""

import re
from collections.abc import Iterator
from pathlib import Path

from fuzzing.readers import ROOT, standards
from standfast.log.fill_in import Sitting, fill_in_bytes
from standfast.log.reader import ENTRY_KEYS
from standfast.log.roster import Listed
from standfast.log.sheet import COLUMNS
from standfast.log.sheet_header import KEYS
from standfast.log.sheet_writer import csv_bytes
from standfast.pipeline import load_log

LARGEST = 4096  # bytes of an input: as long as they may be, they take the fuzzer's time
_HEADER = b'{"session": "S", "standard": "manikin_drill", "candidate": "C-1"}'
_CORRECTED = b"""\
{"session": "S", "standard": "line_and_sprint", "candidate": "E-1"}
{"at": "0:06", "mark": "ready"}
{"at": "0:05", "mark": "through", "by": "G-1", "note": "late"}
{"at": "0:30", "mark": "tape", "value": "15.4 m"}
{"at": "0:31", "mark": "tape", "value": "154 m"}
{"end": "0:40"}
{"amend": "end", "at": "1:40", "by": "G-2", "note": "watch read again"}
{"strike": 3, "by": "G-2", "note": "wrong lane"}
{"amend": 4, "value": "15.4 m", "by": "G-2", "note": "slip"}
{"amend": 2, "at": "0:07.5", "mark": "throw", "seen_by": "G-3", "by": "G-2", "note": "slip"}
"""
_COMING_AND_GOING = b"""\
{"session":"S","standard":"line_and_sprint","candidates":["E-1","E-2"],"started":"2026-04-11T09:00:00+01:00"}
{"at": "0:05", "mark": "ready", "candidate": "all"}
{"at": "0:06", "join": "E-3", "by": "G-1", "note": "late"}
{"at": "0:07", "mark": "throw", "candidate": "E-3"}
{"at": "0:09", "leave": "E-1"}
{"at": "0:10", "leave": "E-2"}
{"strike": 5, "by": "G-2", "note": "was still there"}
"""
_ROSTERS = (
    "candidate\nC-1\nC-2\n",
    "\ufeffcandidate;body_mass;duty;tide_set\r\nC-1;80,5 kg;boat;120 deg\r\nC-2;;shore;\r\n;;;\r\n",
    'tide_set,candidate,duty\n"0 deg","C,""3""",_\n,\'=C-4,boat\n',
    "duty\tcandidate\nboat\tC-1\nashore\tC-1\n\tall\n",
)
_AMOUNTS = ("0:00", "0:05.4", "1:00:05", "00:40:00", "2026-04-11T09:00:00Z", "40 m", "3,2", "4 kg", "all", "-")
_STRANGE = ("\ufeff", "\u00a0", "\u202e", "\u2028", "\u0660", "\u00e9", "\x00", "\x1b", "\t", "\r\n", "\r")
_JSON = ('"', "{", "}", "[", "]", ":", ",", "\\u0000", "\\ud800", "true", "null", "1e999", '"end":', '"facts":{')
_CELLS = (
    ",",
    ";",
    '"',
    '""',
    "# ",
    "# fact ",
    "# condition ",
    "# order: by candidate",
    "_",
    " for ",
    "=",
    "'",
    "end",
    "yes",
)
_RULES = ('"', "# ", "\n", "\n    ", "\n        ", ", ", "1/4", "0.5 s", "10 min", "3 m", "D601", "2026-02-30")


def seeds(reader: str) -> list[bytes]:
    """For the reader of that name, none twice, the shortest first."""
    found = {each for each in _seeds(reader) if len(each) <= LARGEST}
    return sorted(found, key=lambda data: (len(data), data))


def _seeds(reader: str) -> Iterator[bytes]:
    yield from (path.read_bytes() for path in sorted((ROOT / "tests" / "fuzz" / reader).glob("*")))
    if reader == "rules":
        for folder in ("standards", "tests"):
            yield from (path.read_bytes() for path in sorted(ROOT.glob(f"{folder}/**/*.standard")))
        for path in sorted(ROOT.glob("tests/cases/bad/*/*.txt")):
            yield from _examples(path, "^---\n", " *#!.*")
    elif reader == "logs":
        yield from _logs()
        for data in _examples(ROOT / "tests" / "log" / "bad_logs.txt", "^== .*\n", "<< .*\n"):
            yield data.replace(b"HEADER", _HEADER)
    elif reader == "rosters":
        yield from (each.encode() for each in _ROSTERS)
    else:
        yield from _sheets()
        for data in _logs():
            for standard in standards():
                log, _ = load_log("log.jsonl", data, standard)
                if log is not None:
                    yield csv_bytes(log)


def _logs() -> Iterator[bytes]:
    yield from (path.read_bytes() for path in sorted(ROOT.glob("standards/*/logs/*.jsonl")))
    yield _CORRECTED
    yield _COMING_AND_GOING


def _sheets() -> Iterator[bytes]:
    """Printed to be filled in, and filled in, each row a second after the one before it."""
    for standard in standards():
        sheet = fill_in_bytes(standard, (Listed("C-1", ()), Listed("C-2", ())), Sitting(session="S"))
        yield sheet
        before, *rows = re.split(rb"^_,", sheet, flags=re.MULTILINE)
        yield before + b"".join(b"0:%02d.0,%b" % (second % 60, row) for second, row in enumerate(rows))


def _examples(path: Path, between: str, expected: str) -> Iterator[bytes]:
    """The texts of a file that holds several, without what is expected of each line."""
    text = re.sub(expected, "", path.read_text(encoding="utf-8"))
    yield from (each.encode() for each in re.split(between, text, flags=re.MULTILINE)[1:])


def dictionary(reader: str) -> list[str]:
    """Words that chance would take long to find."""
    if reader == "rules":
        grammar = (ROOT / "engine/standfast/language/grammar.lark").read_text(encoding="utf-8")
        code = re.sub(r"//.*", "", grammar)
        words = [word for word in re.findall(r'"([^"\\]+)"', code) if word.isprintable()]
        return sorted({*words, *_RULES, *_STRANGE})
    names = [mark.name for standard in standards() for mark in standard.marks]
    names += [each.name for standard in standards() for each in standard.conditions]
    names += [each.name for standard in standards() for each in standard.facts]
    keys = ENTRY_KEYS if reader == "logs" else (*COLUMNS, *KEYS)
    written = _JSON if reader == "logs" else _CELLS
    return sorted({*names, *keys, "candidates", *COLUMNS, *written, *_AMOUNTS, *_STRANGE})
