"""The page: what must be on it, in which order, and that nothing a log says gets out of its place."""

import re
from collections.abc import Callable
from html.parser import HTMLParser

from attrs import evolve

from standfast.report.cautions import ALWAYS
from standfast.report.lines import safe
from standfast.report.verdict_page.html import verdicts_html
from standfast.report.verdict_page.judged import Judged

EMPTY = {"meta", "br", "rect", "path", "polyline"}
NASTY = "</style><script>alert(1)</script>\u202e\x1b[2J{{ 7 * 7 }}"


class Read(HTMLParser):
    """The words of a page, and whether every element is closed where it must be."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.open: list[str] = []
        self.words: list[str] = []
        self.seen: list[str] = []
        self.ids: list[str] = []
        self.leads: list[str] = []
        self.feed(html)
        self.close()
        assert self.open == [] and len(self.ids) == len(set(self.ids))

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.seen.append(tag)
        for name, value in attrs:
            assert not name.startswith("on") and name != "src"
            self.ids += [value or ""] if name == "id" else []
            self.leads += [value or ""] if name == "href" else []
        if tag not in EMPTY:
            self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        if tag not in EMPTY:
            assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        if not {"style", "title", "desc"} & set(self.open[-1:]):
            self.words.append(data)

    @property
    def text(self) -> str:
        return " ".join(" ".join(self.words).split())


def test_the_verdict_and_its_reason_come_first_then_the_cautions(shipped: Callable[[str], list[Judged]]) -> None:
    text = Read(verdicts_html(shipped("five_throws_under_the_new_edition"))).text
    places = [
        text.index(each)
        for each in ("Candidate C-014 : NO-GO", "because", "fail", "Caution", *ALWAYS, "The whole")
    ]
    assert places == sorted(places)


def test_all_that_a_verdict_says_is_on_the_page(every: list[Judged]) -> None:
    for judged in every:
        text, verdict = Read(verdicts_html([judged])).text, judged.verdict
        attempts = [attempt for event in verdict.events for attempt in event.attempts]
        assert text.count(" attempt 1: opened at") >= sum(bool(event.attempts) for event in verdict.events)
        for reason in (*verdict.reasons, *(reason for attempt in attempts for reason in attempt.reasons)):
            assert reason.path in text and (reason.sentence or "") in text and reason.words in text
        for figured in (*verdict.figures, *(figured for attempt in attempts for figured in attempt.figures)):
            assert f"{figured.words} {figured.path}" in text
        assert all(f"{each.path}: {each.words}" in text for each in verdict.owed)
        assert all(f"entry {each.entry} (line {each.line}) at" in text for each in verdict.remarks if each.entry)
        assert verdict.points is None or f"{verdict.points} points" in text
        assert verdict.log_digest[:12] in text and verdict.standard_digest[:12] in text


def test_corrections_are_listed_with_what_they_changed(swum: Callable[[str], list[Judged]]) -> None:
    text = Read(verdicts_html(swum("corrected"))).text
    assert "2 corrections changed the verdict: without them GO, decided at 2:20" in text
    assert "entry 6 (line 7) struck by G-2 on line 9, because: not the wall, the ladder" in text


def test_a_class_leads_from_each_row_to_its_verdict(swum: Callable[[str], list[Judged]]) -> None:
    read = Read(verdicts_html(swum("six_in_the_water"), ["torn.jsonl"]))
    assert read.leads == [f"#verdict-{n}" for n in range(1, 7)]
    assert {lead[1:] for lead in read.leads} <= set(read.ids)
    assert "6 verdicts: 2 GO and 4 UNFINISHED" in read.text and "torn.jsonl not graded" in read.text.replace(
        "- torn", "torn"
    )
    assert read.text.count("Caution") == 1


def test_the_same_verdicts_give_the_same_page_whatever_was_made_before(every: list[Judged]) -> None:
    few = every[:5]
    first = verdicts_html(few)
    verdicts_html(every[5:9])
    assert verdicts_html(few) == first


def test_nothing_a_log_or_a_standard_says_gets_out_of_its_place(swum: Callable[[str], list[Judged]]) -> None:
    (judged,) = swum("corrected")
    verdict = judged.verdict
    entries = tuple(evolve(each, note=NASTY, by=NASTY) for each in judged.log.entries)
    hostile = evolve(
        judged,
        log=evolve(judged.log, entries=entries),
        standard=evolve(judged.standard, title=NASTY, cautions=(NASTY,)),
        verdict=evolve(
            verdict,
            candidate=NASTY,
            session=NASTY,
            log=NASTY,
            facts=((NASTY, NASTY),),
            corrections=tuple(evolve(each, by=NASTY, why=NASTY) for each in verdict.corrections),
        ),
    )
    for page in (verdicts_html([hostile]), verdicts_html([hostile, hostile], [NASTY])):
        read = Read(page)
        assert "\u202e" not in page and "\x1b" not in page and "script" not in read.seen
        assert read.text.count(safe(NASTY)) > 8 and "49" not in re.sub(r"\d:49|49\d|\d49", "", read.text)


def test_names_written_from_right_to_left_are_kept_apart(swum: Callable[[str], list[Judged]]) -> None:
    page = verdicts_html(swum("six_in_the_water"))
    assert page.count("<bdi>\u05e9\u05d7\u05e8 7</bdi>") == 2
    assert "<bdi>=cmd()</bdi>" in page and "<bdi>&lt;script&gt;alert(1)&lt;/script&gt;</bdi>" in page


def test_a_page_without_a_verdict_says_so(every: list[Judged]) -> None:
    read = Read(verdicts_html([], ["torn.jsonl"]))
    assert "no verdict" in read.text and all(each in read.text for each in ALWAYS)
