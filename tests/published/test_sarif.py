"""The interchange format for the results of static analysis, held against its published schema.

`sarif-2.1.0-rtm.5.json` is the JSON schema of the Static Analysis Results Interchange Format (SARIF) Version
2.1.0, OASIS Standard, as the public catalogue of JSON schemas has it under that name, unchanged. Copyright OASIS
Open; it is used for these checks only and is no part of the package.
"""

import json
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft4Validator

from standfast.codes import Code
from standfast.diagnostic import Diagnostic, Label
from standfast.report.sarif import sarif_document
from standfast.source import Source

SCHEMA = json.loads((Path(__file__).parent / "sarif-2.1.0-rtm.5.json").read_text("utf-8"))

ERROR = Code("M299", "an error", "`{name}` found", ("mend `{name}`",), about="About the error.")
DOUBT = Code("D199", "a doubt", "`{name}` doubted", (), about="About the doubt.", severity="doubt")
ADVICE = Code("A199", "an advice", "`{name}` seen", (), about="About the advice.", severity="advice")


def document(*found: Diagnostic) -> Any:
    made = json.loads(json.dumps(sarif_document("0.1.0", (), found)))
    Draft4Validator(SCHEMA).validate(made)
    return made


def found_in(name: str) -> tuple[Diagnostic, ...]:
    """One of each kind; the second line has a character that takes two units in UTF-16."""
    source = Source(name, "one\n  \U0001f6df two\nthree\n")
    two = source.span(source.text.index("two"), source.text.index("\nthree"))
    return (
        Diagnostic(DOUBT, two, {"name": "two"}, log=("log e", "    0:00 go"), accepted='meant "so"'),
        Diagnostic(ERROR, two, {"name": "two"}, also=(Label(source.span(0, 3), "here"), Label(two, "there"))),
        Diagnostic(ADVICE, None, {"name": "all"}),
        Diagnostic(DOUBT, source.span(0, len(source.text)), {"name": "it"}),
    )


def test_the_schema_is_the_one_it_says_it_is() -> None:
    Draft4Validator.check_schema(SCHEMA)
    assert "SARIF) Version 2.1.0" in SCHEMA["title"] and len(SCHEMA["definitions"]) == 52
    assert not Draft4Validator(SCHEMA).is_valid({"version": "2.1.0", "runs": [{}]})


def test_nothing_found_is_a_run_too() -> None:
    (run,) = document()["runs"]
    assert (run["results"], run["tool"]["driver"]["rules"]) == ([], [])


def test_each_rule_stands_once_with_its_level_and_each_result_with_its_rule() -> None:
    (run,) = document(*found_in("a.standard"))["runs"]
    rules = run["tool"]["driver"]["rules"]
    assert [(r["id"], r["defaultConfiguration"]["level"]) for r in rules] == [
        ("A199", "note"),
        ("D199", "warning"),
        ("M299", "error"),
    ]
    assert all(rule["help"]["text"].startswith("About the ") for rule in rules)
    results = run["results"]
    assert [result["level"] for result in results] == ["warning", "error", "note", "warning"]
    assert [rules[result["ruleIndex"]]["id"] for result in results] == [result["ruleId"] for result in results]


def test_places_count_characters_and_say_so() -> None:
    (run,) = document(*found_in("a.standard"))["runs"]
    assert run["columnKind"] == "unicodeCodePoints"
    first, second, third, fourth = run["results"]
    region = {"startLine": 2, "startColumn": 5, "endLine": 2, "endColumn": 8}
    assert first["locations"][0]["physicalLocation"]["region"] == region
    assert third["locations"] == []
    assert fourth["locations"][0]["physicalLocation"]["region"]["endLine"] == 4
    assert [(one["id"], one["message"]["text"]) for one in second["relatedLocations"]] == [
        (1, "here"),
        (2, "there"),
    ]
    assert second["relatedLocations"][0]["physicalLocation"]["region"]["startLine"] == 1


def test_an_accepted_doubt_is_suppressed_for_its_authors_reason() -> None:
    results = document(*found_in("a.standard"))["runs"][0]["results"]
    assert results[0]["suppressions"] == [
        {"kind": "inSource", "status": "accepted", "justification": 'meant "so"'}
    ]
    assert all("suppressions" not in result for result in results[1:])


def test_the_log_and_the_help_are_told() -> None:
    first, second, *_ = document(*found_in("a.standard"))["runs"][0]["results"]
    assert first["message"]["text"] == "`two` doubted\na log that shows it:\n    log e\n        0:00 go"
    assert first["properties"] == {"log": ["log e", "    0:00 go"]}
    assert second["message"]["text"] == "`two` found\nmend: mend `two`"


@pytest.mark.parametrize(
    ("name", "uri"),
    [
        ("rules/a b.standard", "rules/a%20b.standard"),
        ("/srv/å.standard", "file:///srv/%C3%A5.standard"),
        ("C:\\rules\\a.standard", "file:///C:/rules/a.standard"),
        ("standard input", "standard%20input"),
        ("a:b.standard", "a%3Ab.standard"),
    ],
)
def test_a_file_is_named_by_a_uri(name: str, uri: str) -> None:
    result = document(*found_in(name))["runs"][0]["results"][0]
    assert result["locations"][0]["physicalLocation"]["artifactLocation"] == {"uri": uri}
