from standfast.codes import Code
from standfast.diagnostic import Diagnostic, Label
from standfast.report.diagnostic_text import one_line, picture
from standfast.source import Source

CODE = Code("M299", "title", "unknown mark `{name}`", ("did you mean `{near}`?", "declare it"), about="About.")


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
    )
    assert picture(diagnostic) == (
        "a.standard:11:13: error M299: unknown mark `hitt`\n"
        "  11 |     until 2 hitt\n"
        "     |             ^^^^\n"
        "   2 |     hit\n"
        "     |     ^^^ declared here\n"
        "  help: did you mean `hit`?\n"
    )
    assert one_line(diagnostic) == "a.standard:11:13: error M299: unknown mark `hitt` (did you mean `hit`?)\n"


def test_another_file_is_named() -> None:
    here, there = Source("a", "one"), Source("b", "two")
    text = picture(Diagnostic(CODE, here.span(0, 3), {"name": "one"}, (Label(there.span(0, 3), "first"),)))
    assert "\n  b:1:1\n  1 | two\n    | ^^^ first\n" in text


def test_without_a_place() -> None:
    diagnostic = Diagnostic(CODE, None, {"name": "x"})
    assert picture(diagnostic) == "error M299: unknown mark `x`\n  help: declare it\n"


def test_a_long_line_is_cut_around_the_spot() -> None:
    _, line, underline, _ = drawn("a" * 5000 + "SPOT" + "b" * 5000, "SPOT")
    assert line.startswith("  1 | ...aaa") and line.endswith("bbb...")
    assert len(line) <= 80
    assert underline.index("^") == line.index("SPOT") and underline.count("^") == 4


def test_a_long_spot_is_cut() -> None:
    _, line, underline, _ = drawn("x" * 900, "x" * 900)
    assert len(line) <= 80 and line.endswith("...")
    assert underline.count("^") == 64


def test_tabs_and_wide_characters_keep_the_underline_below_the_spot() -> None:
    _, line, underline, _ = drawn("\t水 SPOT", "SPOT")
    assert line == "  1 |     水 SPOT"
    assert underline.index("^") == line.index("SPOT") + 1
    _, line, underline, _ = drawn("e\u0301 SPOT", "SPOT")
    assert underline.index("^") == line.index("SPOT") - 1


def test_a_spot_of_several_lines_is_underlined_to_the_end_of_its_first() -> None:
    *_, underline, _ = drawn("one two\nthree", "two\nthree")
    assert underline == "    |     ^^^"


def test_an_empty_spot_at_the_end_of_the_file_has_a_place() -> None:
    source = Source("a", "one\n")
    assert picture(Diagnostic(CODE, source.span(4, 4), {"name": "x"})).splitlines()[:3] == [
        "a:2:1: error M299: unknown mark `x`",
        "  2 |",
        "    | ^",
    ]


def test_nothing_in_a_file_can_move_the_cursor_or_hide_text() -> None:
    text = picture(Diagnostic(CODE, Source("a\x1b[2J", "\x1b[31m\u202e").span(0, 1), {"name": "\r\x07"}))
    assert "\x1b" not in text and "\u202e" not in text and "\r" not in text and "\x07" not in text
    assert "\\x1b[31m\\u202e" in text
