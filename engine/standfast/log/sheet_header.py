"""The header lines above a table of entries: `# key: value`, one thing a line.

`# candidate: C-1` stands once for each candidate. What holds nested values in JSON has lines of its own:
`# condition water_depth: 3.2 m`, `# fact body_mass: 80 kg`, and of one candidate of several
`# fact body_mass: 80 kg for C-1`.
"""

from standfast.codes import fill_in as fill_in_codes
from standfast.codes import log as log_codes
from standfast.codes import sheets as codes
from standfast.log.blanks import BLANK, BY_CANDIDATE, ORDER
from standfast.log.cells import as_it_was, row_at
from standfast.log.entry import ALL, RawFact, StatedFact
from standfast.log.fields import HEADER, Fields, checked_text
from standfast.log.findings import Findings, Refused, shown
from standfast.log.header import Opening, opening
from standfast.log.lines import TextLine
from standfast.log.members import Member
from standfast.log.sheet import Sheet
from standfast.values import frozen

SINGLE = ("session", "standard", "edition", "started", "grader")
NAMED = ("condition", "fact")
KEYS = (*SINGLE, "candidate", *NAMED, ORDER)
FOR = " for "
YES_OR_NO = {"yes": True, "true": True, "no": False, "false": False}


@frozen
class _Pair:
    """A header line: its key, the name after `condition` or `fact` (else the key), and its value, with the places
    of name and value.
    """

    line: TextLine
    key: str
    name: str
    value: str
    key_start: int
    key_end: int
    start: int
    end: int

    @property
    def member(self) -> Member:
        return Member(self.key, self.key_start, self.key_end, self.value, self.start, self.end)


def read_header_lines(sheet: Sheet, findings: Findings) -> Opening:
    before = findings.count
    first = sheet.lines[0]
    fields = Fields(HEADER, first, (), SINGLE, findings, said=KEYS)
    conditions: dict[str, RawFact] = {}
    facts: dict[tuple[str, str | None], StatedFact] = {}
    candidates: dict[str, None] = {}
    of_candidates = 0
    for line in sheet.above:
        pair = _pair(line, sheet.separator or ",", findings)
        if pair is None or (pair.key != "candidate" and pair.value.partition(FOR)[0].strip() == BLANK):
            continue
        counted = findings.count
        if pair.key == "candidate":
            _candidate(pair, candidates, findings)
            of_candidates += findings.count - counted
        elif pair.key == "condition":
            _condition(pair, sheet, conditions, findings)
        elif pair.key == "fact":
            _fact(pair, sheet, facts, findings)
        elif pair.key == ORDER:
            sheet.by_candidate = True
            if pair.value != BY_CANDIDATE:
                place = pair.line.span(pair.start, pair.end)
                findings.add(fill_in_codes.UNKNOWN_ORDER, place, {"text": shown(pair.value)})
        else:
            fields.take(pair.line, pair.member)
    named = None if of_candidates else tuple(candidates)
    return opening(fields, tuple(conditions.values()), tuple(facts.values()), named, before, findings)


def _pair(line: TextLine, separator: str, findings: Findings) -> _Pair | None:
    read = row_at(line.text, 0, separator, 2)
    if isinstance(read, Refused):
        findings.add(read.code, line.span(read.start, read.end), read.facts)
        return None
    cells, _ = read
    first, rest = cells[0], [cell for cell in cells[1:] if cell.stripped]
    start, text, exact = first.start, first.text.lstrip(), first.quoted
    key, _, value = text.removeprefix("#").partition(":")
    value_start = start + text.find(":") + 1
    if len(rest) == 1 and not value.strip() and cells[1] is rest[0]:
        # The key in one cell, the value in the next.
        value, value_start, exact = rest[0].text, rest[0].start, rest[0].quoted
    elif rest and not first.quoted:
        # Typed as a line, and not as cells: the separator in it is part of the value.
        whole = line.text.rstrip(f"{separator} \t\r")
        value, value_start = whole[whole.find(":") + 1 :], whole.find(":") + 1
    elif rest:
        findings.add(codes.CELL_TOO_MANY, line.span(rest[0].start, rest[0].end), {"text": shown(rest[0].stripped)})
        return None
    words = key.split()
    if not words or not value.strip():
        findings.add(codes.NO_PAIR, line.span(), {"text": shown(text.strip())})
        return None
    padding = len(value) - len(value.lstrip()) if not exact else int(value.startswith(" "))
    value = value[padding:] if exact else value.strip()
    value_start += padding
    named = words[0].lower() in NAMED
    name = " ".join(words[1:] if named else words)
    if not name:
        findings.add(codes.NO_PAIR, line.span(), {"text": shown(text.strip())})
        return None
    length = len(value)
    key_start = line.text.find(words[-1])
    return _Pair(
        line=line,
        key=words[0].lower() if named else name.lower(),
        name=name,
        value=as_it_was(value),
        key_start=key_start,
        key_end=key_start + len(words[-1]),
        start=value_start,
        end=min(value_start + length, len(line.text)),
    )


def _candidate(pair: _Pair, candidates: dict[str, None], findings: Findings) -> None:
    name = checked_text(pair.line, pair.member, "candidate", findings)
    place = pair.line.span(pair.start, pair.end)
    if name == ALL:
        findings.add(log_codes.NAMED_ALL, place)
    elif name in candidates:
        findings.add(log_codes.CANDIDATE_TWICE, place, {"name": shown(name)})
    elif name is not None:
        candidates[name] = None


def _condition(pair: _Pair, sheet: Sheet, conditions: dict[str, RawFact], findings: Findings) -> None:
    line, place = pair.line, pair.line.span(pair.key_start, pair.key_end)
    if pair.name in conditions:
        facts = {"key": shown(pair.name), "what": "the conditions"}
        findings.add(log_codes.KEY_TWICE, place, facts)
        return
    text = checked_text(line, pair.member, shown(pair.name), findings)
    if text is not None:
        value = YES_OR_NO.get(text.lower(), sheet.amount(text))
        span = line.span(pair.start, pair.end)
        conditions[pair.name] = RawFact(name=pair.name, value=value, name_span=place, span=span)


def _fact(pair: _Pair, sheet: Sheet, facts: dict[tuple[str, str | None], StatedFact], findings: Findings) -> None:
    line, place = pair.line, pair.line.span(pair.key_start, pair.key_end)
    text = checked_text(line, pair.member, shown(pair.name), findings)
    if text is None:
        return
    value, of, candidate = text.partition(FOR)
    whose = candidate if of else None
    if (pair.name, whose) in facts:
        what = "the facts" if whose is None else f"the facts of `{shown(whose)}`"
        findings.add(log_codes.KEY_TWICE, place, {"key": shown(pair.name), "what": what})
        return
    facts[pair.name, whose] = StatedFact(
        name=pair.name,
        value=sheet.amount(value.strip()),
        candidate=whose,
        name_span=place,
        span=line.span(pair.start, pair.end),
        candidate_span=None if whose is None else line.span(pair.start, pair.end),
    )
