import json
from collections.abc import Iterator
from importlib.resources import files

import pytest
from attrs import evolve
from jsonschema import Draft202012Validator
from referencing import Registry, Resource

from standfast.codes import Code
from standfast.diagnostic import Diagnostic, Label
from standfast.report.documents import diagnostics_document, grade_document, verdict_document, written
from standfast.source import Source
from standfast.verdict import Verdict

NAMES = (
    "verdict",
    "diagnostics",
    "findings",
    "grade",
    "proof",
    "tidy",
    "record",
    "register",
    "ruling",
    "recheck",
    "agree",
)
CODE = Code("M299", "title", "`{name}` found", (), about="About.")


def schema(name: str) -> dict[str, object]:
    text = files("standfast.report").joinpath(f"{name}.schema.json").read_text("utf-8")
    loaded = json.loads(text)
    assert isinstance(loaded, dict)
    return loaded


def validator(name: str) -> Draft202012Validator:
    loaded = [schema(each) for each in NAMES]
    registry = Registry().with_resources((str(s["$id"]), Resource.from_contents(s)) for s in loaded)
    return Draft202012Validator(schema(name), registry=registry)


def objects(node: object) -> Iterator[dict[str, object]]:
    if isinstance(node, dict):
        yield node
    for inner in node.values() if isinstance(node, dict) else node if isinstance(node, list) else ():
        yield from objects(inner)


@pytest.fixture
def diagnostics() -> tuple[Diagnostic, ...]:
    source = Source("a.standard", "one\ntwo\n")
    labelled = Diagnostic(CODE, source.span(4, 7), {"name": "two"}, (Label(source.span(0, 3), "here"),))
    return labelled, Diagnostic(CODE, None, {"name": "x"})


@pytest.mark.parametrize("name", NAMES)
def test_the_schemas_are_schemas_and_strict(name: str) -> None:
    loaded = schema(name)
    Draft202012Validator.check_schema(loaded)
    kinds = [node for node in objects(loaded) if node.get("type") == "object"]
    assert all(node["additionalProperties"] is False for node in kinds)
    assert all(node["required"] == list(node["properties"]) for node in kinds)  # type: ignore[call-overload]


def test_every_kind_of_verdict_is_valid(every_verdict: tuple[Verdict, ...]) -> None:
    for verdict in every_verdict:
        validator("verdict").validate(json.loads(written(verdict_document(verdict))))


def test_documents_are_valid(every_verdict: tuple[Verdict, ...], diagnostics: tuple[Diagnostic, ...]) -> None:
    validator("grade").validate(json.loads(written(grade_document(every_verdict, ["a.jsonl"], [], diagnostics))))


def test_the_schema_refuses_what_is_not_in_it(no_go: Verdict) -> None:
    document = verdict_document(no_go)
    assert not validator("verdict").is_valid({**document, "more": 1})
    assert not validator("verdict").is_valid({key: document[key] for key in document if key != "owed"})
    assert not validator("verdict").is_valid({**document, "decided_at": "1:02.4"})
    assert not validator("verdict").is_valid({**document, "decided_at": 62.4})


def test_no_float_stands_anywhere(every_verdict: tuple[Verdict, ...]) -> None:
    def refuse(text: str) -> float:
        raise AssertionError(f"a float: {text}")

    for verdict in every_verdict:
        json.loads(written(verdict_document(verdict)), parse_float=refuse)


def test_amounts_and_instants_are_exact(no_go: Verdict) -> None:
    document = json.loads(written(verdict_document(no_go)))
    assert document["decided_at"] == "1:32.400000"
    attempt = document["events"][0]["attempts"][1]
    assert attempt["ended_at"] == "0:25.000001"
    assert attempt["figures"][1]["figure"] == {"amount": "181/3", "unit": "ft"}
    assert attempt["figures"][1]["margin"] == {"amount": "1/3", "unit": "ft"}
    assert attempt["figures"][0]["margin"] == {"amount": "0", "unit": None}
    assert attempt["reasons"][0]["margin"] == {"amount": "-100.5", "unit": "s"}
    first = ["schema", "session", "candidate", "facts", "standard", "presence", "log", "joined_logs"]
    assert list(document)[:8] == first


def test_a_close_call_is_exact(close_call: Verdict) -> None:
    (first, second) = json.loads(written(verdict_document(close_call)))["doubt"]["others"]
    assert first["least"] == {"amount": "0.100001", "unit": "s"}
    assert second["outcome"] == "GO" and second["grade"] == "shore"
    assert second["shifts"][1] == {
        "entry": None,
        "line": None,
        "at": "0:26.000000",
        "by": {"amount": "-0.3", "unit": "s"},
    }


def test_facts_stand_as_they_were_logged(no_go: Verdict) -> None:
    stated = evolve(no_go, facts=(("body_mass", "80 kg"), ("duty", "boat")))
    document = verdict_document(stated)
    validator("verdict").validate(document)
    assert document["facts"] == [{"name": "body_mass", "stated": "80 kg"}, {"name": "duty", "stated": "boat"}]


def test_a_diagnostic_has_its_place(diagnostics: tuple[Diagnostic, ...]) -> None:
    first, second = json.loads(json.dumps(diagnostics_document(diagnostics)))
    assert first["place"] == {"file": "a.standard", "line": 2, "column": 1, "end_line": 2, "end_column": 4}
    assert first["also"][0]["text"] == "here" and first["message"] == "`two` found"
    assert second["place"] is None and second["help"] is None


def test_equal_verdicts_are_written_in_equal_bytes(no_go: Verdict) -> None:
    assert written(verdict_document(no_go)) == written(verdict_document(no_go))
    assert written(verdict_document(no_go)).endswith("}\n")
