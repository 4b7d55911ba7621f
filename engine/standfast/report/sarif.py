"""What `proof` found in the interchange format for the results of static analysis, SARIF 2.1.0 (OASIS).

Places count Unicode code points, as everywhere here; the end of a region is the first character after it. An
accepted doubt stands with a suppression that has the author's reason. A log that shows a finding is part of its
message and stands line by line in its properties; what holds of the standards is in the properties of the run.
"""

import re
from collections.abc import Iterable
from urllib.parse import quote

from standfast.codes import Code
from standfast.diagnostic import Diagnostic
from standfast.report.documents import Plain
from standfast.report.proof_document import Proofed, standards_document
from standfast.source import Span

_SCHEMA = "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json"
_LEVELS = {"error": "error", "doubt": "warning", "advice": "note"}


def sarif_document(version: str, proofed: Iterable[Proofed], diagnostics: Iterable[Diagnostic]) -> Plain:
    """One run; `version` is that of the package. The rules are those of which there is a result."""
    found = list(diagnostics)
    codes = sorted({one.code for one in found}, key=lambda code: code.number)
    driver = {
        "name": "standfast",
        "version": version,
        "semanticVersion": version,
        "rules": [_rule(code) for code in codes],
    }
    run = {
        "tool": {"driver": driver},
        "invocations": [{"executionSuccessful": True}],
        "columnKind": "unicodeCodePoints",
        "results": [_result(one, codes.index(one.code)) for one in found],
        "properties": {"standards": standards_document(proofed)},
    }
    return {"$schema": _SCHEMA, "version": "2.1.0", "runs": [run]}


def _rule(code: Code) -> Plain:
    more = f"`standfast proof --about {code.number}` says this again"
    return {
        "id": code.number,
        "shortDescription": {"text": code.title},
        "fullDescription": {"text": code.about},
        "help": {"text": f"{code.about}\n{more}, with a bad and a good standard where there is one."},
        "defaultConfiguration": {"level": _LEVELS[code.severity]},
    }


def _result(one: Diagnostic, rule: int) -> Plain:
    result: Plain = {
        "ruleId": one.code.number,
        "ruleIndex": rule,
        "level": _LEVELS[one.severity.value],
        "message": {"text": _message(one)},
        "locations": [] if one.span is None else [_location(one.span)],
    }
    if one.also:
        result["relatedLocations"] = [
            {"id": number, "message": {"text": label.text}, **_location(label.span)}
            for number, label in enumerate(one.also, start=1)
        ]
    if one.accepted is not None:
        result["suppressions"] = [{"kind": "inSource", "status": "accepted", "justification": one.accepted}]
    if one.log:
        result["properties"] = {"log": list(one.log)}
    return result


def _message(one: Diagnostic) -> str:
    lines = [one.message]
    if one.log:
        lines += ["a log that shows it:", *(f"    {line}" for line in one.log)]
    if one.help:
        lines.append(f"mend: {one.help}")
    return "\n".join(lines)


def _location(span: Span) -> Plain:
    end_line, end_column = span.source.place(span.end)
    region = {
        "startLine": span.line,
        "startColumn": span.column,
        "endLine": end_line,
        "endColumn": end_column,
    }
    return {"physicalLocation": {"artifactLocation": {"uri": _uri(span.source.name)}, "region": region}}


def _uri(name: str) -> str:
    """A file's name as a relative reference, or where it is absolute as a `file` URI."""
    if re.match(r"[A-Za-z]:[\\/]", name):
        path = quote(name[2:].replace("\\", "/"))
        return f"file:///{name[:2]}{path}"
    return f"file://{quote(name)}" if name.startswith("/") else quote(name)
