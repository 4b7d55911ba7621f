"""The pages in a real browser: at three widths, on two papers, for every eye."""

import io
import re
import unicodedata
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from attrs import frozen
from pypdf import PdfReader

WIDTHS = (390, 820, 1280)
PAPERS = {"A4": (8.27, 11.69), "Letter": (8.5, 11.0)}
ONE_CANDIDATE = ("let_go", "close", "void", "unfinished", "rounds", "halted", "many_entries", "corrected")
PRINTED = ("rope_rescue_check", "water_confidence", "random_3", "class", *ONE_CANDIDATE)
MARGINS = (26, 30)  # millimetres, left and right, top and bottom: those of the style

OVERFLOW = """
const wide = innerWidth, wrong = [];
if (document.documentElement.scrollWidth > wide) wrong.push(`page ${document.documentElement.scrollWidth}`);
for (const each of document.body.querySelectorAll("*")) {
  const box = each.getBoundingClientRect(), style = getComputedStyle(each);
  const inside = each.parentElement.closest(".scroll, svg, thead");
  if (inside && (!inside.matches("thead") || getComputedStyle(inside).position === "absolute")) continue;
  if (box.width > 1 && (box.right > wide + 0.5 || box.left < -0.5)) 
    wrong.push(`${each.tagName} ${each.className}`);
  if (style.overflowX === "hidden" && each.scrollWidth > each.clientWidth + 1 && box.width > 1)
    wrong.push(`cut: ${each.tagName}`);
}
return wrong;
"""

CONTRAST = """
const wrong = [], white = [255, 255, 255];
const parts = (colour) => colour.match(/[\\d.]+/g).map(Number);
const light = (rgb) => {
  const [r, g, b] = rgb.map((v) => (v / 255 <= 0.04045 ? v / 255 / 12.92 : ((v / 255 + 0.055) / 1.055) ** 2.4));
  return 0.2126 * r + 0.7152 * g + 0.0722 * b;
};
const ratio = (one, other) => {
  const [dark, bright] = [light(one), light(other)].sort((a, b) => a - b);
  return (bright + 0.05) / (dark + 0.05);
};
const behind = (element) => {
  for (let at = element; at; at = at.parentElement) {
    const colour = parts(getComputedStyle(at).backgroundColor);
    if (colour.length === 3 || colour[3] === 1) return colour.slice(0, 3);
    if (colour[3] > 0) wrong.push("see-through background");
  }
  return white;
};
const covering = (text) => {
  const at = text.getBBox(), before = [];
  for (let each = text.previousElementSibling; each; each = each.previousElementSibling)
    if (each.tagName === "rect") before.push(each);
  const box = before.find((rect) => {
    const r = rect.getBBox();
    return r.x <= at.x && r.y <= at.y + 4 && r.x + r.width >= at.x && r.y + r.height >= at.y + at.height - 4;
  });
  return box ? parts(getComputedStyle(box).fill).slice(0, 3) : white;
};
let seen = 0;
const judge = (text, colour, style, ground) => {
  seen += 1;
  const size = parseFloat(style.fontSize), bold = Number(style.fontWeight) >= 700;
  const least = size >= 24 || (size >= 18.66 && bold) ? 3 : 4.5;
  for (const each of [ground, white])  // white: what is printed without backgrounds
    if (ratio(parts(colour).slice(0, 3), each) < least)
      wrong.push(`${text.trim().slice(0, 30)} ${colour} on ${each}`);
};
const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
for (let node = walker.nextNode(); node; node = walker.nextNode()) {
  const element = node.parentElement, style = getComputedStyle(element);
  if (!node.data.trim() || element.closest("title, desc, style")) continue;
  if (element.closest("svg")) judge(node.data, style.fill, style, covering(element));
  else judge(node.data, style.color, style, behind(element));
}
for (const element of document.body.querySelectorAll("[data-label]")) {
  const style = getComputedStyle(element, "::before");
  if (style.content !== "none") judge(style.content, style.color, style, behind(element));
}
if (seen < 30) wrong.push(`only ${seen} texts`);
return wrong;
"""

PICTURES = """
const wrong = [];
for (const svg of document.querySelectorAll("svg")) {
  if (svg.getAttribute("aria-hidden") === "true" && !svg.textContent.trim()) continue;
  const names = (svg.getAttribute("aria-labelledby") || "").split(" ").map((id) => document.getElementById(id));
  if (svg.getAttribute("role") !== "img" || names.length !== 2 || names.some((n) => !n || !n.textContent.trim()))
    wrong.push("a picture without words");
  const list = svg.closest("section").querySelectorAll(".words li");
  const verdicts = document.body.classList.contains("verdicts");
  if (list.length < (verdicts ? 2 : 3)) wrong.push("no words after the picture");
  const said = names[1].textContent;
  for (const line of list)
    if (!said.includes(line.textContent.trim())) wrong.push(`not described: ${line.textContent}`);
  const rects = [...svg.querySelectorAll("rect")].map((rect) => rect.getBBox());
  const whole = svg.viewBox.baseVal;
  const texts = [...svg.querySelectorAll("text")].map((text) => [text, text.getBBox()]);
  for (const [text, at] of texts) {
    if (verdicts) {
      for (const [other, box] of texts)
        if (other !== text && box.x < at.x + at.width && at.x < box.x + box.width &&
            box.y + 3 < at.y + at.height && at.y + 3 < box.y + box.height)
          wrong.push(`${text.textContent} lies on ${other.textContent}`);
      if (at.x < 0 || at.x + at.width > whole.width || at.y + at.height > whole.height + 1)
        wrong.push(`cut: ${text.textContent}`);
      continue;
    }
    const round = rects.filter((r) => r.x <= at.x && r.x + r.width > at.x && r.y < at.y + at.height / 2 &&
      r.y + r.height > at.y + at.height / 2);
    if (!round.length || round.some((r) => at.x + at.width > r.x + r.width))
      wrong.push(`out of its box: ${text.textContent}`);
    if (at.x + at.width > whole.width || at.y + at.height > whole.height) wrong.push(`cut: ${text.textContent}`);
  }
}
const pictured = document.body.matches(".picture, .verdicts");
if (pictured !== (document.querySelectorAll("svg[role=img]").length > 0))
  wrong.push("pictures");
return wrong;
"""

OUTSIDE = """
const asked = '[src], [href]:not([href^="#"]), link, script, iframe, object';
const leads = (e) => document.querySelector(e.getAttribute("href")) !== null;
const lost = [...document.querySelectorAll("[href]")].filter((e) => !leads(e));
return [...document.querySelectorAll(asked), ...lost].map((e) => e.tagName);
"""

ROWS = """
const words = (node) => {
  const found = [], walker = document.createTreeWalker(node, NodeFilter.SHOW_TEXT);
  for (let each = walker.nextNode(); each; each = walker.nextNode())
    if (each.data.trim() && !each.parentElement.closest("title, desc")) found.push(each.data);
  return found;
};
const tall = [...document.querySelectorAll("tr, figure, .caution")].map((e) => e.getBoundingClientRect().height);
return {
  tables: [...document.querySelectorAll("table")].map((table) => ({
    head: words(table.tHead),
    rows: [...table.querySelectorAll("tbody tr")].map(words),
    repeats: getComputedStyle(table.tHead).display === "table-header-group",
  })),
  pictures: [...document.querySelectorAll("svg[role=img]")].map(words),
  tallest: Math.max(...tall),
  cuttable: [...document.querySelectorAll("tr, figure, .caution, .signing")]
    .filter((e) => getComputedStyle(e).breakInside !== "avoid").map((e) => e.className),
};
"""


@frozen
class Looks:
    """What was found wrong with one page, and for each paper the facts of the print and the words of its pages."""

    overflow: dict[int, list[str]]
    contrast: list[str]
    pictures: list[str]
    outside: list[str]
    printed: dict[str, tuple[Any, list[str]]]


@pytest.fixture(scope="module")
def looks(browser: Any, pages: dict[str, Path]) -> dict[str, Looks]:
    """Every page, opened once."""
    found = {}
    for name, path in pages.items():
        browser.open(path)
        overflow: dict[int, list[str]] = {}
        contrast: list[str] = []
        for width in WIDTHS:
            browser.at(width)
            overflow[width] = browser.ask(OVERFLOW)
            contrast += browser.ask(CONTRAST) if width != 820 else []
        found[name] = Looks(
            overflow,
            contrast,
            browser.ask(PICTURES),
            [url for url in browser.requests if url != path.as_uri()] or browser.ask(OUTSIDE),
            {paper: printed(browser, paper) for paper in PAPERS if name.split(".")[0] in PRINTED},
        )
        assert path.as_uri() in browser.requests
    return found


def printed(browser: Any, paper: str) -> tuple[Any, list[str]]:
    wide, high = PAPERS[paper]
    browser.at(int(wide * 96 - MARGINS[0] / 25.4 * 96), "print")
    facts = browser.ask(ROWS)
    return facts, [solid(page.extract_text()) for page in PdfReader(io.BytesIO(browser.pdf(wide, high))).pages]


@pytest.mark.parametrize("width", WIDTHS)
def test_nothing_is_wider_than_the_window(looks: dict[str, Looks], width: int) -> None:
    assert {name: look.overflow[width] for name, look in looks.items() if look.overflow[width]} == {}


def test_overflow_would_be_seen(browser: Any, pages: dict[str, Any]) -> None:
    browser.open(next(iter(pages.values())))
    browser.at(390)
    browser.ask('document.querySelector("h1").style.width = "500px";')
    assert browser.ask(OVERFLOW)[:2] == ["page 516", "H1 "]


def test_every_text_stands_out_from_what_is_behind_it(looks: dict[str, Looks]) -> None:
    assert {name: look.contrast for name, look in looks.items() if look.contrast} == {}


def test_faint_text_would_be_seen(browser: Any, pages: dict[str, Any]) -> None:
    browser.open(next(path for name, path in pages.items() if name.endswith(".picture")))
    browser.at(1280)
    browser.ask(
        'document.querySelector("h1").style.color = "#aaa"; document.querySelector("text").style.fill = "#999";'
    )
    assert len(browser.ask(CONTRAST)) == 4


def test_every_picture_is_said_in_words_and_keeps_its_words_in_their_boxes(looks: dict[str, Looks]) -> None:
    assert {name: look.pictures for name, look in looks.items() if look.pictures} == {}


def test_no_page_asks_for_anything_else(looks: dict[str, Looks]) -> None:
    assert {name: look.outside for name, look in looks.items() if look.outside} == {}


def solid(text: str) -> str:
    """Without blanks, and with joined letters (as in `first`) taken apart."""
    return re.sub(r"\s+", "", unicodedata.normalize("NFKC", text))


def cut(facts: Any, printed: list[str]) -> Iterator[str]:
    """Rows and pictures whose words are not all on one page, and pages with rows but without their heads."""
    for table in facts["tables"]:
        head = [solid(each) for each in table["head"]]
        for row in table["rows"]:
            words = [solid(each) for each in row]
            pages = [page for page in printed if all(each in page for each in words)]
            if not pages:
                yield f"a row is cut: {row}"
            elif not any(each in page for page in pages for each in head):
                yield f"a row without a head: {row}"
    for picture in facts["pictures"]:
        if not any(all(solid(each) in page for each in picture) for page in printed):
            yield f"a picture is cut: {picture[:2]}"


@pytest.mark.parametrize("paper", PAPERS)
def test_it_prints_without_a_cut(looks: dict[str, Looks], paper: str) -> None:
    tall = (PAPERS[paper][1] - MARGINS[1] / 25.4) * 96
    seen = 0
    for name, look in looks.items():
        if look.printed:
            facts, pages = look.printed[paper]
            seen += len(facts["tables"]) + len(facts["pictures"])
            assert (name, list(cut(facts, pages)), facts["cuttable"]) == (name, [], [])
            assert all(table["repeats"] for table in facts["tables"]) and facts["tallest"] <= tall
    assert seen > 60


@pytest.mark.parametrize("paper", PAPERS)
def test_a_verdict_takes_one_or_two_sheets(looks: dict[str, Looks], paper: str) -> None:
    sheets = {name: len(looks[f"{name}.verdicts"].printed[paper][1]) for name in ONE_CANDIDATE}
    assert {name: number for name, number in sheets.items() if number > 2} == {} and set(sheets.values()) == {1, 2}


def test_a_label_on_another_would_be_seen(browser: Any, pages: dict[str, Any]) -> None:
    browser.open(pages["let_go.verdicts"])
    browser.at(1280)
    assert browser.ask(PICTURES) == []
    browser.ask(
        'const [one, other] = document.querySelectorAll("svg text.label-plain");'
        'other.setAttribute("x", one.getAttribute("x")); other.setAttribute("y", one.getAttribute("y"));'
    )
    assert len(browser.ask(PICTURES)) >= 2


def test_a_row_of_the_class_leads_to_its_verdict(browser: Any, pages: dict[str, Any]) -> None:
    browser.open(pages["six_in_the_water.verdicts"])
    browser.at(820)
    browser.ask('document.querySelectorAll(".class a")[2].click();')
    assert browser.ask('return document.querySelector(":target h2").textContent;').endswith(
        "\u05e9\u05d7\u05e8 7: GO"
    )
    assert browser.ask("return document.scripts.length;") == 0


def test_a_cut_row_would_be_seen() -> None:
    facts = {
        "tables": [{"head": ["Do"], "rows": [["one two", "three"]], "repeats": True}],
        "pictures": [["a", "b"]],
    }
    assert list(cut(facts, ["Doonetwothree", "ab"])) == []
    assert len(list(cut(facts, ["Doonetwo", "three", "a", "b"]))) == 2
    assert len(list(cut(facts, ["onetwothree", "ab"]))) == 1
