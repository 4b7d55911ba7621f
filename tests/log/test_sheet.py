"""Logs kept as tables of cells: what they say, what a spreadsheet makes of them, and what is refused."""

import time

import pytest

from standfast.log.entry import RawLog
from standfast.log.reader import read_log

JSON = (
    '{"session":"2026-04-11/lane-3","standard":"check","edition":"2.1","candidate":"C-014",'
    '"started":"2026-04-11T00:30:00+01:00","conditions":{"depth":"3.2 m","lookouts":2,"aid":true},'
    '"facts":{"mass":"80.5 kg"},"grader":"G-2"}\n'
    '{"at":"0:00","mark":"go"}\n'
    '{"at":"6:10","mark":"check","value":"fuel","by":"G-2","note":"so \\"loud\\",\\n; two lines"}\n'
    '{"at":"1:14:05.5","mark":"line_in","value":"40.25 m"}\n'
    '{"end":"1:19:20"}\n'
    '{"strike":1,"by":"G-2","note":"no"}\n'
    '{"amend":2,"by":"G-2","note":"a slip","at":"6:11","value":null,"seen_by":"G-3"}\n'
)
CSV = """\
# session: 2026-04-11/lane-3
# standard: check
# edition: 2.1
# candidate: C-014
# started: 2026-04-11T00:30:00+01:00
# condition depth: 3.2 m
# condition lookouts: 2
# condition aid: yes
# fact mass: 80.5 kg
# grader: G-2
at,mark,value,candidate,by,note,strike,amend,seen_by
0:00.0,go
6:10.0,check,fuel,,G-2,"so ""loud"",
; two lines"
1:14:05.5,line_in,40.25 m
1:19:20.0,end
,,,,G-2,no,1
6:11.0,,-,,G-2,a slip,,2,G-3
"""
HEAD = "# session: S-1\n# standard: check\n# candidate: C-1\n"


def read(text: str | bytes, name: str = "a.csv") -> RawLog:
    raw, found = read_log(name, text.encode() if isinstance(text, str) else text)
    assert raw is not None, [(d.span and (d.span.line, d.span.column), d.message) for d in found]
    assert found == ()
    return raw


def said(raw: RawLog) -> object:
    """All that a log says, without places and the way its times are written."""
    return (
        raw.header,
        raw.conditions,
        raw.facts,
        raw.entries,
        raw.end,
        [
            (c.of_end, c.place, c.by, c.why, c.before.mark, c.before.value, c.after is None)
            for c in raw.corrections
        ],
        None if raw.uncorrected is None else said(raw.uncorrected),
    )


def findings(text: str) -> list[tuple[int, int, str, str]]:
    raw, found = read_log("a.csv", text.encode())
    assert raw is None
    assert all(d.help for d in found)
    return [(d.span.line, d.span.column, d.code.number, d.message) for d in found if d.span is not None]


def test_a_table_says_what_lines_of_json_say() -> None:
    assert said(read(CSV)) == said(read(JSON, "a.jsonl"))
    assert read(CSV).entries[0].span.line == 13


@pytest.mark.parametrize(
    "text",
    [
        "\ufeff" + CSV,
        CSV.replace("\n", "\r\n").replace(",\r\n; two", ",\n; two"),
        CSV + ",,,,,,,,\n  , ,\n\n",
        CSV.replace("0:00.0,go\n", " 0:00.0 ,\tgo ,,,,,,,,,\n"),
        CSV.replace("0:00.0,go\n", '"0:00.0","go"\n'),
        CSV.replace("# session: 2026-04-11/lane-3\n", "#Session:2026-04-11/lane-3,,,,,,\n"),
        CSV.replace("# session: 2026-04-11/lane-3\n", '"# session: 2026-04-11/lane-3",,,,,,\n'),
        CSV.replace("# session: 2026-04-11/lane-3\n", "# session:,2026-04-11/lane-3,,,,\n"),
        CSV.replace("# session: 2026-04-11/lane-3\n", "# session,2026-04-11/lane-3\n"),
        CSV.replace("at,mark,value", "\n,,,\nAt, Mark ,VALUE"),
        CSV.replace("aid: yes", "aid: TRUE"),
        CSV.replace("0:00.0,go", "00:00.00,go").replace("1:14:05.5", "01:14:05.50"),
        CSV.replace("seen_by\n", "seen_by,,\n").replace("0:00.0,go\n", "0:00.0,go,,,,,,,,,\n"),
        CSV.removesuffix("\n"),
    ],
    ids=[
        "byte order mark",
        "CR LF",
        "empty rows at the end",
        "padded cells and empty ones at the end",
        "all in quotes",
        "a header line with empty cells",
        "a header line in quotes",
        "the value in a cell of its own",
        "the same without a colon",
        "columns in capitals, blank rows before them",
        "yes as a spreadsheet has it",
        "times as a spreadsheet shows them",
        "columns without a name",
        "no last line end and every cell there",
    ],
)
def test_forms_that_mean_the_same(text: str) -> None:
    assert said(read(text)) == said(read(CSV))


@pytest.mark.parametrize("separator", [";", "\t"])
def test_other_separators(separator: str) -> None:
    text = f'{HEAD}at,mark,value,note,by\n0:00.0,go,,,G-1\n0:05.4,line_in,3 m,"a, b; c\td",G-1\n0:09.0,end,,,\n'
    cells = text.replace("a, b; c\td", "\0").replace(",", separator).replace("\0", "a, b; c\td")
    assert said(read(cells)) == said(read(text))


def test_columns_may_stand_in_any_order() -> None:
    one = read(f"{HEAD}at,mark,value\n0:00.0,line_in,3 m\n")
    assert said(read(f"{HEAD}value,mark,at\n3 m,line_in,0:00.0\n")) == said(one)


def test_a_decimal_comma_is_read_under_semicolons_alone() -> None:
    rows = "0:00,5;line_in;3,25 m\n1:02:03,5;held;1 min 0,5 s\n"
    raw = read(f"# condition depth: 3,2 m\n# fact mass: 80,5 kg\n{HEAD}at;mark;value\n{rows}")
    assert [(e.at, e.value) for e in raw.entries] == [(500_000, "3.25 m"), (3_723_500_000, "1 min 0.5 s")]
    assert ([f.value for f in raw.conditions], [f.value for f in raw.facts]) == (["3.2 m"], ["80.5 kg"])
    # A comma before three digits may stand between thousands: whoever reads the amount refuses it.
    assert read(f"{HEAD}at;mark;value\n0:00.5;line_in;1,500 m\n").entries[0].value == "1,500 m"
    assert read(f"{HEAD}at;mark;value\n0:00.5;line_in;0,500 m\n").entries[0].value == "0.500 m"
    assert read(f'{HEAD}at,mark,value\n0:00.5,line_in,"3,25 m"\n').entries[0].value == "3,25 m"


def test_several_candidates_and_their_facts() -> None:
    head = HEAD + "# candidate: D, the second\n# fact duty: boat\n# fact mass: 80 kg for C-1\n"
    raw = read(head + '"# fact mass: 70 kg for D, the second"\nat,mark,candidate\n0:00.0,go,all\n')
    assert raw.header.candidates == ("C-1", "D, the second")
    assert [(f.name, f.value, f.candidate) for f in raw.facts] == [
        ("duty", "boat", None),
        ("mass", "80 kg", "C-1"),
        ("mass", "70 kg", "D, the second"),
    ]


def test_a_table_on_standard_input_is_known_by_its_first_character() -> None:
    assert said(read(CSV, "standard input")) == said(read(CSV))
    assert said(read("\ufeff" + CSV, "standard input")) == said(read(CSV))


@pytest.mark.parametrize(
    ("times", "refused"),
    [
        (("0:00:00", "0:40:00", "1:05:00"), True),
        (("00:00:00", "00:40:00"), True),
        (("00:00:00", "00:05.4", "00:40:00"), True),
        (("0:00:00", "0:05.4", "1:02:00"), False),
        (("0:00", "0:40", "1:00:05"), False),
        (("0:00:00",), False),
        (("0:00:00.0", "0:40:00.0"), False),
        (("00:00:00", "0:06:58", "07:12:00", "47:59:00"), True),
        (("00:00:00", "00:06:58", "00:07:12", "01:05:00"), False),
    ],
)
def test_times_that_a_spreadsheet_rewrote_are_refused(times: tuple[str, ...], refused: bool) -> None:
    rows = "".join(f"{at},go\n" for at in times)
    raw, found = read_log("a.csv", f"{HEAD}at,mark\n{rows}".encode())
    assert (raw is None) == refused
    assert [d.code.number for d in found] == ["L483"] * refused


def test_of_rewritten_times_all_cells_are_told() -> None:
    _, found = read_log("a.csv", f"{HEAD}at,mark\n00:00:00,go\n0:06:58,go\n07:12:00,go\n09:00:00,go\n".encode())
    assert [(d.message, d.span and d.span.line) for d in found] == [
        (
            "3 of 4 times without decimals, on lines 5 to 8, are like `07:12:00`, with no seconds: "
            "a spreadsheet took minutes for hours",
            7,
        )
    ]
    assert "each of these times" in found[0].help


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("# session: S\n# standard: N\n", [(2, 1, "L476", "no row that names columns, only header lines")]),
        (f"{HEAD}when,what\n", [(4, 1, "L476", "no row that names columns, found `when,what`")]),
        (f"{HEAD}time,mark\n", [(4, 1, "L477", "unknown column `time`")]),
        (f"{HEAD}at,mark,at\n", [(4, 9, "L478", "a second column `at`")]),
        (f"{HEAD}at,value\n", [(4, 1, "L479", "no column `mark` in the head row")]),
        (
            f"{HEAD}at,mark,note\n0:00.0,go,slow, wet\n",
            [(5, 17, "L480", "the cell `wet` stands in no column that has a name")],
        ),
        (
            f'{HEAD}at,mark,note\n0:00.0,go,"slow\n0:01.0,go,\n',
            [(5, 11, "L481", "a cell opens with a double quote that is not closed within 65536 characters")],
        ),
        (
            f'{HEAD}at,mark,note\n0:00.0,go,"slow" wet\n0:05.0,end,\n',
            [(5, 18, "L482", "found `wet` after the closing quote of a cell")],
        ),
        (f"{HEAD}# day\nat,mark\n", [(4, 1, "L484", "the header line `# day` has no key and value")]),
        (f"{HEAD}# lane: 3\nat,mark\n", [(4, 3, "L411", "unknown key `lane` in the header")]),
        (f"{HEAD}# candidate: C-1\nat,mark\n", [(4, 14, "L451", "the candidate `C-1` is listed twice")]),
        (
            f"{HEAD}at,mark,note\n0:00.0,go,\n0:05.0,go",
            [
                (6, 1, "L485", "the last row looks cut off: it has no line end and 2 of 3 cells"),
            ],
        ),
        (
            f"{HEAD}at,mark\n0:00.0,go\n,\n0:05,go\n",
            [(6, 1, "L406", "a blank line between the lines of the log")],
        ),
        (
            f"{HEAD}at,mark\n,go\n0:01.0,\n",
            [(5, 1, "L413", "an entry without `at`"), (6, 1, "L413", "an entry without `mark`")],
        ),
        (
            f"{HEAD}at,mark\n0:9,go\n0:40,5,go\n",
            [
                (5, 1, "L430", "`0:9` is not a time"),
                (6, 8, "L480", "the cell `go` stands in no column that has a name"),
            ],
        ),
        (
            f"{HEAD}at,mark\n0:09.0,go\n0:08.0,go\n",
            [(6, 1, "L442", "`0:08.0` (entry 2) comes after `0:09.0` (entry 1, line 5): time runs backwards")],
        ),
        (f"{HEAD}at,mark,by\n0:09.0,end,G-2\n", [(5, 12, "L411", "unknown key `by` in the end")]),
        (f"{HEAD}at,mark\n,end\n", [(5, 2, "L415", "an empty text for `end`")]),
        (
            f"{HEAD}at,mark,strike,by,note\n,,1,G,n\n,,x,G,n\n",
            [
                (5, 3, "L423", "a correction of entry 1, but no entry stands before it"),
                (6, 3, "L424", "found the text `x` for `strike`, which takes the number of an entry or `end`"),
            ],
        ),
        (
            "at,mark\n0:00.0,go\n",
            [
                (1, 1, "L413", "the header without `session`"),
                (1, 1, "L413", "the header without `standard`"),
                (1, 1, "L456", "no candidate is named, in the header or in an entry"),
            ],
        ),
    ],
)
def test_what_is_refused(text: str, expected: list[tuple[int, int, str, str]]) -> None:
    assert findings(text) == expected


def test_the_help_speaks_of_cells() -> None:
    _, found = read_log("a.csv", b"# session: S\nat,mark\n,go\n0:00.0,x\n")
    assert [d.help for d in found] == [
        "write `# standard: NAME` into a cell above the table",
        "write `# candidate: C-1` into a cell above the table",
        "fill in the cell `at`",
    ]


def test_tables_are_bounded_and_never_take_long() -> None:
    began = time.process_time()
    wide = "," * 60_000
    rows = f"{HEAD}at,mark\n" + f"0:00.0,go{wide}\n" * 200
    assert len(read(rows).entries) == 200
    assert findings(f'{HEAD}at,mark\n0:00.0,"' + '""' * 3_000_000)[0][2] in ("L403", "L481")
    assert findings(f"{HEAD}at,mark\n" + '0:00.0,"go\n' * 200_000)[0][2] == "L482"
    assert findings(f"{HEAD}at;mark\n" + "1:" * 30_000 + ";go\n")[0][2] == "L430"
    assert findings(f"{HEAD}at;mark;value\n0:00.0;go;" + "'" * 60_000 + "\0\n")[0][2] == "L416"
    assert findings(f"{HEAD}at,mark\n" + "0:00.0,go," + "x" * 70_000)[0][2] == "L403"
    assert time.process_time() - began < 10
