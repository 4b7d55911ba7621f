"""What rehearsing standards gave as JUnit XML, for a CI: a suite for each standard, a test for each log and case.

A test fails where machine and definition differ, where a case does not hold and where a log is missing; a missing
log that the author accepts is skipped. A file with errors is a suite of its own with a test in error for each. No
test has a time: the same standards always give the same bytes.
"""

from collections.abc import Iterable, Iterator
from xml.etree import ElementTree

from standfast.codes import boundary
from standfast.diagnostic import Diagnostic
from standfast.proofing.book import Book
from standfast.report.lines import safe
from standfast.values import frozen

_UNTITLED = "the files"


@frozen
class _Test:
    """`outcome` is the element that says what is wrong (None: nothing is), `kind` a code, `message` its words.

    `group` is the class of the test: where readers of such files list it.
    """

    group: str
    name: str
    outcome: str | None = None
    kind: str = ""
    message: str = ""


def junit(books: Iterable[Book], diagnostics: Iterable[Diagnostic]) -> str:
    """The XML document, with a closing line end. `diagnostics` are those of files, not of the books."""
    suites = [(f"{book.standard.name} {book.standard.edition}", list(_of_book(book))) for book in books]
    broken: dict[str, list[_Test]] = {}
    for one in diagnostics:
        file = _UNTITLED if one.span is None else one.span.source.name
        line = "" if one.span is None else f", line {one.span.line}"
        broken.setdefault(file, []).append(
            _Test("files", f"{one.code.number}{line}", "error", one.code.number, one.message)
        )
    suites += broken.items()
    every = [test for _, tests in suites for test in tests]
    root = ElementTree.Element("testsuites", {"name": "standfast rehearse", **_sums(every)})
    for name, tests in suites:
        skipped = sum(test.outcome == "skipped" for test in tests)
        about = {"name": safe(name), **_sums(tests), "skipped": str(skipped)}
        suite = ElementTree.SubElement(root, "testsuite", about)
        for test in tests:
            named = {"classname": test.group, "name": safe(test.name)}
            element = ElementTree.SubElement(suite, "testcase", named)
            if test.outcome is not None:
                message = safe(test.message)
                ElementTree.SubElement(
                    element, test.outcome, {"type": test.kind, "message": message}
                ).text = message
    ElementTree.indent(root)
    return f'<?xml version="1.0" encoding="UTF-8"?>\n{ElementTree.tostring(root, encoding="unicode")}\n'


def _of_book(book: Book) -> Iterator[_Test]:
    kind = boundary.BOOK_DISAGREEMENT.number
    group, cases = f"{book.standard.name}.book", f"{book.standard.name}.cases"
    for page in book.pages:
        name = f"{page.path}: {page.side.value} ({page.name})"
        if page.alike:
            yield _Test(group, name)
        else:
            found = f"machine {page.machine.outcome.value}, definition {page.definition.outcome.value}"
            yield _Test(group, name, "failure", kind, f"the two verdicts differ: {found}")
    for pair in book.pairs:
        for side, why in pair.missing:
            name = f"{pair.path}: {side.value}"
            number = boundary.NO_PAIR.number
            if pair.accepted is None:
                yield _Test(group, name, "failure", number, f"no log shows `{pair.words}` {side.value}: {why}")
            else:
                yield _Test(group, name, "skipped", number, f"accepted: {pair.accepted}")
    for case in book.cases:
        if case.holds:
            yield _Test(cases, case.title)
        else:
            said = "; ".join(finding.message for finding in case.findings)
            yield _Test(cases, case.title, "failure", case.findings[0].code.number, said)


def _sums(tests: Iterable[_Test]) -> dict[str, str]:
    outcomes = [test.outcome for test in tests]
    return {
        "tests": str(len(outcomes)),
        "failures": str(outcomes.count("failure")),
        "errors": str(outcomes.count("error")),
    }
