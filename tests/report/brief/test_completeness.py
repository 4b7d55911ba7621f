"""Nothing of a standard is left unsaid: every kind of rule, every field, every rule of a file."""

import pytest
from attrs import evolve, fields

from standfast.model import rules as model
from standfast.model.rules import (
    Effect,
    Fault,
    Limit,
    RestBound,
    Rule,
    Until,
)
from standfast.model.standard import (
    Acceptance,
    Always,
    Case,
    Clause,
    Event,
    Fact,
    Mark,
    Standard,
)
from standfast.report.brief.outline import outline
from standfast.report.brief.setting import Voice


@pytest.fixture(params=list(Voice))
def voice(request: pytest.FixtureRequest) -> Voice:
    assert isinstance(request.param, Voice)
    return request.param


def test_every_kind_of_rule_is_said() -> None:
    kinds = {kind for kind in vars(model).values() if isinstance(kind, type) and issubclass(kind, Rule)}
    said = {Limit, Fault, RestBound, model.Start, Until, model.UntilTotals, model.For, model.Score}
    assert kinds - {Rule} == said


SAID: dict[type, str] = {
    Standard: "name title edition in_force authority cautions guidance carry_on events_in_any_order owed_fails "
    "times_within "
    "facts conditions marks always grades events cases acceptances digest",
    Event: "clause attempts best rest_between carry_on conditions",
    Clause: "label path title kind start goal limits scores faults rest items only_for only_if_begun guidance "
    "rounds",
    Always: "limits faults",
    Fact: "name title choices unit heading",
    Mark: "name title choices unit readings heading names_round",
    Case: "title given facts expectations",
    Acceptance: "code why path",
    Fault: "path sentence effect trigger at_once at_most charged",
    Limit: "path sentence figure test misses",
    RestBound: "path sentence length effect at_once at_most charged",
}
UNSAID: dict[type, str] = {
    Standard: "settled",  # what a standard was specialised by; a briefing is of none
    Fact: "words shared",
    Mark: "words",  # as written, for whoever cites the line
    Clause: "depth order",  # the place in the file
    Case: "event entries end",  # the log itself; an example names what it is of in its paths
    Fault: "words order depth",
    Limit: "words order depth",
    RestBound: "words order depth says_breach",  # what cannot be breached has no effect in an outline
}


@pytest.mark.parametrize("kind", list(SAID))
def test_no_field_of_the_model_is_left_out(kind: type) -> None:
    """A field that is added to the model must get its sentence, or be named as one that needs none."""
    names = {field.name for field in fields(kind)} - {"span"}
    assert names == set((SAID[kind] + " " + UNSAID.get(kind, "")).split())


def test_every_rule_of_a_standard_is_in_its_outline(harbour: Standard, voice: Voice) -> None:
    said = {each.path: each for each in outline(harbour, voice).said()}
    wanted = list(harbour.rules())
    assert len(wanted) > 40
    for rule in wanted:
        each = said[rule.path]
        assert each.quoted == rule.sentence and each.text


def test_a_pause_that_no_mark_ends_is_not_among_what_fails_the_candidate(harbour: Standard, voice: Voice) -> None:
    def failing(clause: Clause) -> Clause:
        rest = clause.rest
        if rest is not None and rest.least is not None:
            rest = evolve(rest, least=evolve(rest.least, effect=Effect.FAIL))
        return evolve(clause, rest=rest, items=tuple(map(failing, clause.items)))

    events = tuple(evolve(event, clause=failing(event.clause)) for event in harbour.events)
    said = {each.path: each for each in outline(evolve(harbour, events=events), voice).said()}
    clauses = [clause for event in events for clause in event.clause.walk() if clause.rest is not None]
    assert {clause.start is None for clause in clauses} == {True, False}
    for clause in clauses:
        assert said[f"{clause.path}.rest"].fails is (clause.start is not None)
