"""The pages as text and as HTML: what must be on them, and that nothing an author writes gets out of its place."""

import re
from html.parser import HTMLParser
from pathlib import Path
from random import Random

import pytest
from attrs import evolve
from plausible import random_standard

from standfast.model.standard import Standard
from standfast.pipeline import load_standard
from standfast.report.brief.html import page_html
from standfast.report.brief.outline import outline
from standfast.report.brief.page import Page
from standfast.report.brief.setting import Voice
from standfast.report.brief.sketch import pieces
from standfast.report.brief.text import page_text
from standfast.report.cautions import ALWAYS, BREATH, usual_cautions
from standfast.report.lines import WIDTH, width
from standfast.source import Source

ROOT = Path(__file__).resolve().parents[3]
FILES = sorted((*ROOT.glob("standards/*/*.standard"), *ROOT.glob("tests/practitioner/*.standard")))
VOID = {"meta", "link", "br", "hr", "img", "input", "rect", "path", "polyline"}
OUTSIDE = re.compile(r"(?:https?:|file:|//)[^\s\"'<]", re.IGNORECASE)


class Read(HTMLParser):
    """The words of a page, its headings, and whether every element is closed where it must be."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.open: list[str] = []
        self.words: list[str] = []
        self.levels: list[int] = []
        self.seen: list[str] = []
        self.ids: list[str] = []
        self.feed(html)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.seen.append(tag)
        self.ids += [value or "" for name, value in attrs if name == "id"]
        assert not any(name.startswith("on") or name in ("src", "href") for name, _ in attrs)
        if re.fullmatch("h[1-6]", tag):
            self.levels.append(int(tag[1]))
        if tag not in VOID:
            self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        if tag not in VOID:
            assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        if not {"style", "title"} & set(self.open[-1:]):
            self.words.append(data)

    @property
    def text(self) -> str:
        return folded("".join(self.words))


def folded(text: str) -> str:
    return " ".join(text.split())


def load(text: str, name: str = "x.standard") -> Standard:
    standard, found = load_standard(Source(name, text))
    assert standard is not None, [(d.span and d.span.line, d.message) for d in found]
    return standard


def check(standard: Standard) -> None:
    """What holds of every page of any standard."""
    for page in Page:
        html, text = page_html(standard, page), page_text(standard, page)
        read = Read(html)
        assert read.open == [] and "script" not in read.seen and len(read.ids) == len(set(read.ids))
        assert read.levels[0] == 1 and all(b <= a + 1 for a, b in zip(read.levels, read.levels[1:], strict=False))
        assert read.seen.count("caption") == read.seen.count("table") == read.seen.count("thead")
        assert html == page_html(standard, page)
        cautions = (*standard.cautions, *usual_cautions(standard))
        places = [read.text.index(folded(each)) for each in cautions]
        assert places == sorted(places)
        assert places[-1] < min(
            read.text.index(f"{number} {event.label.replace('_', ' ').capitalize()}")
            for number, event in enumerate(standard.events, 1)
        )
        assert all(folded(each) in folded(text) for each in cautions)
        assert text.endswith("\n") and "\n\n\n" not in text
        long = [line for line in text.splitlines() if width(line) > WIDTH]
        assert all(max(map(width, line.split())) + 12 > WIDTH for line in long)
        for each in wanted(standard, page):
            assert folded(each) in folded(text)
            assert folded(each).replace("`", "") in read.text.replace("`", "")


def wanted(standard: Standard, page: Page) -> list[str]:
    """Every sentence the page must have."""
    if page is Page.PICTURE:
        return [text for piece in pieces(standard) for _, text in piece.lines()]
    said = outline(standard, Voice.CANDIDATE if page is Page.CANDIDATE else Voice.GRADER)
    parts = [part for event in said.events for part in event.walk()]
    sentences = [each.text for each in said.said()] + [each.quoted for each in said.said() if each.quoted]
    words = [
        *said.guidance,
        *said.course,
        *(text for part in parts for text in (part.title or "", *part.guidance)),
    ]
    extra = [event.tries or "" for event in said.events] + [event.carry_on or "" for event in said.events]
    if page is Page.GRADER:
        extra += [*(each.text for each in said.marks), *said.examples, *said.acceptances]
    return [*sentences, *words, *extra]


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_the_pages_of_a_standard(path: Path) -> None:
    check(load(path.read_text(encoding="utf-8"), path.name))


def test_the_pages_of_every_construct(harbour: Standard) -> None:
    check(harbour)


def test_the_pages_of_random_standards() -> None:
    made = 0
    for seed in range(20):
        standard, _ = load_standard(Source("x.standard", random_standard(Random(seed))))
        if standard is not None:
            check(standard)
            made += 1
    assert made > 15


@pytest.mark.parametrize("page", list(Page))
def test_nothing_comes_from_outside(page: Page, harbour: Standard) -> None:
    html = page_html(harbour, page)
    assert OUTSIDE.search(html) is None and "url(" not in html.replace("url(#head)", "") and "@import" not in html
    assert '<html lang="en">' in html and "default-src 'none'" in html


@pytest.mark.parametrize("page", list(Page))
def test_what_an_author_writes_stays_text(page: Page, harbour: Standard) -> None:
    nasty = "</style><script>x</script>&amp;{{ 7 * 7 }}`\u202eevil\x1b[1m"
    shown = "</style><script>x</script>&amp;{{ 7 * 7 }}`\\u202eevil\\x1b[1m"
    event = harbour.events[1]
    hostile = evolve(
        harbour,
        title=nasty,
        edition=nasty,
        authority=nasty,
        cautions=(nasty,),
        guidance=(nasty,),
        marks=tuple(evolve(mark, title=nasty) for mark in harbour.marks),
        events=(evolve(event, clause=evolve(event.clause, title=nasty, guidance=(nasty,))),),
        acceptances=(evolve(harbour.acceptances[0], why=nasty),),
        cases=(evolve(harbour.cases[0], title=nasty),),
    )
    html, text = page_html(hostile, page), page_text(hostile, page)
    read = Read(html)
    assert "script" not in read.seen and read.seen.count("style") == 1
    assert read.text.replace("`", "").count(shown.replace("`", "")) >= 4 and folded(text).count("evil") >= 4
    assert "\u202e" not in html + text and "\x1b" not in html + text


def test_sheets_have_a_column_for_every_try_up_to_three(harbour: Standard) -> None:
    for attempts, columns in ((1, 0), (2, 2), (3, 3), (4, 3), (None, 3)):
        event = evolve(harbour.events[1], attempts=attempts)
        html = page_html(evolve(harbour, events=(event,)), Page.GRADER)
        assert len(re.findall(r'<th scope="col" class="box">Try \d</th>', html)) == columns
        assert ("Further tries go on another sheet." in html) == (attempts in (4, None))


def test_the_grader_signs_and_decides(harbour: Standard) -> None:
    text, html = page_text(harbour, Page.GRADER), Read(page_html(harbour, Page.GRADER)).text
    steps = [part for event in outline(harbour, Voice.GRADER).events for part in event.walk() if not part.parts]
    for step in steps:
        assert step.number == "1" or f"{step.name}: GO or NO-GO" in html
    for who in ("Grader", "Second grader", "Candidate"):
        assert f"{who}, signed" in html and who in text.split("SIGNED")[1]
    assert "Whole test: GO NO-GO UNFINISHED VOID" in html and "WHOLE TEST: GO [ ]  NO-GO [ ]" in text


LAND = """\
standard pack_walk "Walk with a pack"
    edition "1"
    in force from 2026-03-01

marks
    go "The starter's signal"
    done "Both feet are over the line"
    {mark}

event walk "Once around"
    attempts 2
    start on go
    until done
    {rule}
"""


@pytest.mark.parametrize("page", list(Page))
@pytest.mark.parametrize(
    ("mark", "rule", "near_water"),
    [
        ('fall "A knee on the ground"', "within 9 min", False),
        ('fall "A foot in the stream\'s water"', "within 9 min", True),
        ('fall "A knee on the ground"', 'within 9 min "out of breath"', True),
        ('swim_out "A knee on the ground"', "within 9 min", True),
    ],
)
def test_the_caution_on_breath_is_left_out_only_on_land(
    page: Page, mark: str, rule: str, near_water: bool
) -> None:
    standard = load(LAND.format(mark=mark, rule=rule))
    for text in (page_text(standard, page), Read(page_html(standard, page)).text):
        assert (BREATH in folded(text)) is near_water and all(each in folded(text) for each in ALWAYS)


def test_a_sheet_has_a_box_for_each_way_a_try_or_the_test_can_end() -> None:
    plain = load(LAND.format(mark='fall "A knee on the ground"', rule="within 9 min"))
    halted = load(LAND.format(mark='fall "A knee on the ground"', rule="halt on fall"))
    for standard, box in ((plain, ""), (halted, " halted")):
        text, html = page_text(standard, Page.GRADER), Read(page_html(standard, Page.GRADER)).text
        for number in (1, 2):
            assert f"Try {number}: GO NO-GO{box} " in html
            boxes = f"TRY {number}: GO [ ]  NO-GO [ ]" + ("  halted [ ]" if box else "")
            assert f"  {boxes}\n" in text
        assert "VOID" not in html and "VOID" not in text
        assert "Sheet      ________ of ________\n" in text and "Sheet of" in html
