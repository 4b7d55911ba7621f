"""The page of a revision: what is said on top, and that nothing of a file does anything on it but stand there."""

import re
from collections.abc import Iterator
from pathlib import Path
from random import Random

import pytest
from trials.pairs import legal_standard

from standfast.difference.archive import impact
from standfast.difference.behaviour import compare
from standfast.difference.clauses import clause_changes
from standfast.difference.impact import Unread
from standfast.difference.revision import Revision
from standfast.difference.texts import side_by_side
from standfast.log.entry import RawLog
from standfast.log.reader import read_log
from standfast.model.standard import Standard
from standfast.pipeline import load_standard
from standfast.report.comparison_page.html import revision_html
from standfast.source import Source

HERE = Path(__file__).parent


def meant(text: str) -> Standard:
    standard, found = load_standard(Source("odd.standard", text))
    assert standard is not None, [(d.span and d.span.line, d.message) for d in found]
    return standard


def logs() -> Iterator[RawLog | Unread]:
    for path in sorted(HERE.glob("logs/*.jsonl")):
        raw, found = read_log(path.name, path.read_bytes())
        yield Unread(path.name) if raw is None else raw
        assert raw is not None, found


def page_of(old: Standard, new: Standard, *, archive: bool = False, most: int = 2_000) -> str:
    weighed = impact(old, new, logs()) if archive else None
    revision = Revision(compare(old, new, most), clause_changes(old, new), weighed)
    return revision_html(revision, side_by_side(old, new))


@pytest.fixture(scope="module")
def odd() -> str:
    texts = [(HERE / f"odd_{number}.standard").read_text(encoding="utf-8") for number in (1, 2)]
    return page_of(meant(texts[0]), meant(texts[1]), archive=True)


def test_the_verdict_stands_on_top_and_for_whom(odd: str) -> None:
    head = odd[odd.index("<h1>") : odd.index("Who passes, part by part")]
    assert '<span class="word harder">harder</span></h1>' in head
    assert (
        "2 candidates of the archive graded under both editions; 1 more is counted apart and not guessed." in head
    )
    rules = odd[odd.index("Who changes by which rule") : odd.index("Counted apart")]
    assert '<td data-label="from what to what">1: GO, then ' in rules
    assert "GO under the old edition: 2, under the new: 1 (0 gain it, 1 lose it). 1 change: 1 from GO to" in head
    assert "5 changes clause by clause: 3 harder and 2 only in wording." in head
    assert "edition &lt;1&gt;, in force from 2025-01-01" in head


def test_it_needs_nothing_from_outside_and_nothing_on_it_acts(odd: str) -> None:
    assert not re.search(r"(?:src|href)=\"(?!#)", odd)
    assert "<script" not in odd and "<em>" not in odd and "<i>" not in odd and "<u>" not in odd
    assert "&lt;script&gt;alert(1)&lt;/script&gt;" in odd
    links = set(re.findall(r'href="#([^"]+)"', odd))
    names = re.findall(r' id="([^"]+)"', odd)
    assert links <= set(names)
    assert len(names) == len(set(names))


def test_the_logs_that_show_it_are_drawn_under_both_editions(odd: str) -> None:
    witness = odd[odd.index("GO under edition &lt;1&gt; alone") :]
    assert witness.index("Under edition &lt;1&gt;: ") < witness.index("Under edition &lt;2&gt;: ")
    assert witness.count("<svg") >= 2


TRIED_AGAIN = """\
standard hauling "Hauling"
    edition "{edition}"
    in force from 2026-01-01
marks
    go "The starter's signal"
    home "All of it is hauled"
event haul
    attempts 2, rest at least 2 min between, else note
    start on go
    until home
    {rule}
event stow
    attempts 1
    start on go
    until home
"""


def test_a_pass_that_comes_of_an_earlier_failure_is_told_and_drawn() -> None:
    """The shorter limit fails the first attempt at 0:30, so the second has begun at 0:31."""
    old, new = (
        meant(TRIED_AGAIN.format(edition=number, rule=f"within {seconds} s"))
        for number, seconds in ((1, 60), (2, 30))
    )
    page = page_of(old, new)
    gained = page[page.index("<h3>GO under edition 2 alone") :]
    gained = gained[: gained.index('<section class="event"')]
    told = (
        "Attempt 1 at haul ends at 0:30 under edition 2, which leaves room for another; under edition 1 it lasts "
    )
    assert f'<p class="sooner">{told}until 1:00.</p>' in gained
    under = gained[gained.index("Under edition 2: ") :]
    assert re.search(r"before that</p>.*?<strong>fail</strong> <code>haul.within</code>", under, re.DOTALL)
    assert re.findall(r"(\w+, attempt \d)\. The same in words", under)[:2] == [
        "haul, attempt 1",
        "haul, attempt 2",
    ]
    assert "stow, attempt 1. The same" not in under
    assert "limit-noted" in under  # the rest, that was too short


def test_both_texts_are_on_it_with_what_changed_marked(odd: str) -> None:
    texts = odd[odd.index('id="texts"') :]
    changed = re.findall(r'class="text changed">.*?<code>\s*(\S+ \S+ \S+)', texts)
    assert "within 60 s" in changed and "within 50 s" in changed
    assert re.search(r'class="text worded">.*?Out &amp; home', texts)


def test_the_same_says_so() -> None:
    standard = meant((HERE / "odd_1.standard").read_text(encoding="utf-8"))
    page = page_of(standard, standard)
    assert "Whoever passes under one edition passes under the other." in page
    assert "Nothing was changed but comments, layout, units or the order of declarations." in page
    assert "No archive of logs was looked at." in page


@pytest.mark.parametrize("seed", [f"revision {number}" for number in range(3)])
def test_a_page_of_any_two_standards(seed: str) -> None:
    rng = Random(seed)
    texts = [legal_standard(rng)[0] for _ in range(2)]
    old, new = meant(texts[0]), meant(texts[1])
    page = page_of(old, new, most=100)
    names = re.findall(r' id="([^"]+)"', page)
    assert len(names) == len(set(names))
    assert page.rstrip().endswith("</html>")
    assert page.count('<td class="no">') == 2 * len(side_by_side(old, new))


def test_where_no_log_of_both_can_pass_the_headline_says_so() -> None:
    text = (HERE / "odd_1.standard").read_text(encoding="utf-8")
    mark = next(line for line in text.splitlines() if line.strip().startswith("back"))
    came = text.replace(mark, f'{mark}\n    flag "The flag is up"').replace("until back", "until flag")
    assert "until flag" in came
    head = page_of(meant(text), meant(came)).partition("Who passes, part by part")[0]
    assert (
        "No log that both editions can read is GO under the new edition, which asks for what the other does not"
        " know (flag); of the whole test &#34;harder&#34; says no more, so look at each event." in head
    )


def test_two_standards_and_swapped_editions_are_told_first() -> None:
    text = (HERE / "odd_1.standard").read_text(encoding="utf-8")
    other = text.replace("standard odd ", "standard another ").replace("2025-01-01", "2024-01-01")
    head = page_of(meant(text), meant(other)).partition("Who passes, part by part")[0]
    assert "These are two standards and not two editions of one: odd and another." in head
    assert (
        "The new edition is in force from 2024-01-01, before the old from 2025-01-01: were they swapped?" in head
    )
