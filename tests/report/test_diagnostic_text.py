from random import Random

from standfast.codes import Code
from standfast.diagnostic import Diagnostic, Label
from standfast.report.diagnostic_text import picture
from standfast.report.lines import WIDTH, width
from standfast.source import Source

CODE = Code(
    "M299", "title", "unknown mark `{name}`", ("write `{near}`, if that is meant", "declare it"), about="About."
)


def drawn(text: str, spot: str, name: str = "hitt") -> list[str]:
    source = Source("a.standard", text)
    start = text.index(spot)
    return picture(Diagnostic(CODE, source.span(start, start + len(spot)), {"name": name})).splitlines()


def test_the_whole_picture() -> None:
    source = Source("a.standard", "marks\n    hit\n" + "\n" * 8 + "    until 2 hitt\n")
    spot = source.text.index("hitt")
    declared = source.text.index("hit")
    diagnostic = Diagnostic(
        CODE,
        source.span(spot, spot + 4),
        {"name": "hitt", "near": "hit"},
        (Label(source.span(declared, declared + 3), "declared here"),),
        ("log throws", "    0:00 hit"),
    )
    assert picture(diagnostic) == (
        "a.standard, line 11, column 13: error M299\n"
        "          until 2 hitt\n"
        "                  ====\n"
        "  found   unknown mark `hitt`\n"
        "  beside  line 2: declared here\n"
        "          hit\n"
        "          ===\n"
        "  shown   log throws\n"
        "              0:00 hit\n"
        "  mend    write `hit`, if that is meant\n"
    )


def test_another_file_is_named() -> None:
    here, there = Source("a", "one"), Source("b", "two")
    text = picture(Diagnostic(CODE, here.span(0, 3), {"name": "one"}, (Label(there.span(0, 3), "first"),)))
    assert "\n  beside  b, line 1, column 1: first\n      two\n      ===\n" in text


def test_without_a_place() -> None:
    diagnostic = Diagnostic(CODE, None, {"name": "x"})
    assert picture(diagnostic) == "error M299\n  found   unknown mark `x`\n  mend    declare it\n"


def test_a_long_text_is_folded_but_not_what_can_be_copied() -> None:
    code = Code("M299", "title", "found", ("words " * 11 + '`accept D104 "why"`',), about="About.")
    *_, first, second = picture(Diagnostic(code, None, {})).splitlines()
    assert first.startswith("  mend    words") and second == '          `accept D104 "why"`'


def test_a_long_line_is_cut_around_the_spot() -> None:
    _, line, underline, *_ = drawn("a" * 5000 + "SPOT" + "b" * 5000, "SPOT")
    assert line.startswith("      ...aaa") and line.endswith("bbb...")
    assert len(line) <= 80
    assert underline.index("=") == line.index("SPOT") and underline.count("=") == 4


def test_a_long_spot_is_cut() -> None:
    _, line, underline, *_ = drawn("x" * 900, "x" * 900)
    assert len(line) <= 80 and line.endswith("...")
    assert underline.count("=") == 64


def test_tabs_and_wide_characters_keep_the_underline_below_the_spot() -> None:
    _, line, underline, *_ = drawn("\t水 SPOT", "SPOT")
    assert line == "          水 SPOT"
    assert underline.index("=") == line.index("SPOT") + 1
    _, line, underline, *_ = drawn("e\u0301 SPOT", "SPOT")
    assert underline.index("=") == line.index("SPOT") - 1


def test_a_spot_of_several_lines_is_underlined_to_the_end_of_its_first() -> None:
    _, _, underline, *_ = drawn("one two\nthree", "two\nthree")
    assert underline == "          ==="


def test_an_empty_spot_at_the_end_of_the_file_has_a_place() -> None:
    source = Source("a", "one\n")
    assert picture(Diagnostic(CODE, source.span(4, 4), {"name": "x"})).splitlines()[:3] == [
        "a, line 2, column 1: error M299",
        "",
        "      =",
    ]


def test_the_underline_stands_below_what_is_shown_of_any_line() -> None:
    rng = Random(7)
    for _ in range(300):
        text = "".join(rng.choice("ab \t水\u202e\x1bé\r") for _ in range(rng.randrange(1, 200)))
        start = rng.randrange(len(text) + 1)
        span = Source("a", text).span(start, min(len(text), start + rng.randrange(90)))
        _, line, underline, *_ = picture(Diagnostic(CODE, span, {"name": "x"})).splitlines()
        assert max(width(line), width(underline)) <= WIDTH
        shown = len(underline) - underline.count("=")
        assert shown <= max(width(line), 6) or not text[:start].strip() or text[start - 1] in " \t\r"


def test_nothing_in_a_file_can_move_the_cursor_or_hide_text() -> None:
    text = picture(Diagnostic(CODE, Source("a\x1b[2J", "\x1b[31m\u202e").span(0, 1), {"name": "\r\x07"}))
    assert "\x1b" not in text and "\u202e" not in text and "\r" not in text and "\x07" not in text
    assert "\\x1b[31m\\u202e" in text
