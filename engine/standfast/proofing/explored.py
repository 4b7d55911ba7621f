"""Findings that need every possible log: what can never happen, and what can go on for ever."""

from collections.abc import Callable, Iterator

from standfast.codes import Code, doubts
from standfast.diagnostic import Label
from standfast.machine.effort import Effort
from standfast.model.rules import Effect, Fault, FigureKind, For, Limit, Occurrence, RestBound, Rule
from standfast.model.standard import Clause, Event, Kind, Standard, bounds
from standfast.proofing.contradictions import contradictions, idle_beside, outranked
from standfast.proofing.culprits import culprit
from standfast.proofing.finding import Finding, about, block_of, owners
from standfast.proofing.graded import never_given, never_reached
from standfast.proofing.sights import Survey
from standfast.proofing.slices import is_time_limit
from standfast.proofing.survey import Surveys


def explored_findings(standard: Standard, surveys: Surveys) -> Iterator[Finding]:
    """All findings of this kind, event by event; what follows only from an event nobody passes is left out."""
    turns = surveys.turns()
    for event in standard.events:
        blocked = event.label not in turns
        survey = surveys.events[event.label]
        decided = event.label not in surveys.undecided
        if not decided and not blocked:
            yield from contradictions(standard, event)
        if decided and survey.go is None:
            yield _nobody_passes(standard, event, survey, surveys.effort)
        if decided and not blocked:
            yield from _never(standard, event, surveys)
            yield from _unreached(standard, event, survey, surveys.effort)
            yield from _anybody(event, surveys)
            yield from never_given(event, surveys)
        if not blocked:
            yield from _for_ever(event, survey)
            yield from _clashes(standard, survey)
            yield from _live_in_rest(event, survey)
            yield from _counts_without_time(standard, survey, event, event.clause, ())
    yield from _always_never(standard, surveys)
    yield from never_reached(standard, surveys)


def _named(rule: Rule | None) -> dict[str, str]:
    return {} if rule is None else {"culprit": rule.path}


def _label(rule: Rule | None, text: str) -> tuple[Label, ...]:
    return () if rule is None else (Label(rule.span, text),)


def _nobody_passes(standard: Standard, event: Event, survey: Survey, effort: Effort) -> Finding:
    """What is in the way is looked for from the clause on that the furthest way ends in."""
    unfinished = [c for c in event.clause.walk() if c.path in survey.began and c.path not in survey.completed]
    furthest = next((c for c in reversed(unfinished) if c.goal is not None), event.clause)
    rule = culprit(standard, event, survey, furthest.path, lambda found: found.go is not None, effort)
    return about(
        doubts.NOBODY_PASSES,
        event.label,
        event.clause.span,
        {"name": event.label, **_named(rule)},
        *_label(rule, "this is in the way"),
    )


def _never(standard: Standard, event: Event, surveys: Surveys) -> Iterator[Finding]:
    survey, where = surveys.events[event.label], owners(standard)
    for rule in event.rules():
        clause = where.get(rule.path, event.clause)
        if (
            rule.path in survey.broken
            or rule.path in surveys.undecided
            or not _is_watched(rule, clause, event, survey)
        ):
            continue
        other = _forestalling(standard, event, surveys, rule, clause)
        code = doubts.NEVER_ACTS if isinstance(rule, Fault) else doubts.IDLE_LIMIT
        facts = {"words": rule.words, **_named(other)}
        yield about(code, clause.path, rule.span, facts, *_label(other, "this is in the way"))
    for rule in event.rules():
        exhausted = (
            isinstance(rule, Fault | RestBound) and rule.effect is Effect.RESTART and rule.at_most is not None
        )
        if exhausted and rule.path in survey.broken and f"{rule.path}.at_most" not in survey.broken:
            assert isinstance(rule, Fault | RestBound)
            facts = {"words": f"at most {rule.at_most}"}
            yield about(doubts.IDLE_LIMIT, block_of(rule, where), rule.span, facts)


def _is_watched(rule: Rule, clause: Clause, event: Event, survey: Survey) -> bool:
    """Whether its clause can be begun; of a rest that a mark ends, whether it can be come to."""
    match rule:
        case Limit() | Fault():
            return clause.path in survey.began
        case RestBound():
            return clause.start is not None and (clause is event.clause or clause.path in survey.waited)
        case _:
            return False


def _forestalling(standard: Standard, event: Event, surveys: Surveys, rule: Rule, clause: Clause) -> Rule | None:
    """A rule without which this one could act; first to be tried is one that was triggered together with it."""
    survey = surveys.events[event.label]
    together = next((graver for graver, milder in survey.clashes if milder == rule.path), None)
    return culprit(
        standard,
        event,
        survey,
        clause.path,
        lambda found: rule.path in found.broken,
        surveys.effort,
        rule=rule,
        first=together,
    )


def _unreached(standard: Standard, event: Event, survey: Survey, effort: Effort) -> Iterator[Finding]:
    """Clauses that never begin, and goals that never come about; of nested ones only the outermost."""
    for clause in event.clause.walk():
        parent = clause.path.rpartition(".")[0]
        if clause.path in survey.began:
            if clause.path not in survey.completed and _is_itself_the_obstacle(clause, survey):
                rule = culprit(standard, event, survey, clause.path, _is_in("completed", clause), effort)
                words, span = f"{clause.kind.value} {clause.label}", clause.span
                if clause.goal is not None:
                    words, span = clause.goal.words, clause.goal.span
                also = _label(rule, "this is in the way")
                yield about(doubts.FORESTALLED, clause.path, span, {"words": words, **_named(rule)}, *also)
        elif clause.start is not None and clause.path in survey.waited:
            rule = culprit(standard, event, survey, clause.path, _is_in("began", clause), effort)
            also = _label(rule, "this is in the way")
            facts = {"words": clause.start.words, **_named(rule)}
            yield about(doubts.FORESTALLED, clause.path, clause.start.span, facts, *also)
        elif parent in survey.began or not parent:
            facts = {"name": clause.path, **_obstacle(event, clause, survey)}
            yield about(doubts.NOBODY_REACHES, clause.path, clause.span, facts)


def _is_in(where: str, clause: Clause) -> Callable[[Survey], bool]:
    return lambda found: clause.path in getattr(found, where)


def _obstacle(event: Event, clause: Clause, survey: Survey) -> dict[str, str]:
    """The item before the clause that can never be completed."""
    around = next((c for c in event.clause.walk() if clause in c.items), None)
    if around is None or around.kind is not Kind.IN_ORDER:
        return {}
    earlier = around.items[: around.items.index(clause)]
    return next(({"culprit": c.path} for c in earlier if c.path not in survey.completed), {})


def _is_itself_the_obstacle(clause: Clause, survey: Survey) -> bool:
    """Whether the clause has a goal, or is a group in an event of which all that is needed can be completed."""
    if not clause.items:
        return True
    done = [item.path in survey.completed for item in clause.items]
    return clause.depth > 1 and (any(done) if clause.kind is Kind.ONE_OF else all(done))


def _for_ever(event: Event, survey: Survey) -> Iterator[Finding]:
    for clause in event.clause.walk():
        sight = survey.endless.get(clause.path)
        if sight is not None:
            facts = {"name": clause.path, **_carried(event)}
            yield about(doubts.WAITS_FOR_EVER, clause.path, clause.span, facts, sight=sight)
        elif clause.path in survey.circles:
            sight = survey.circles[clause.path]
            rule = clause.goal or clause.start
            facts = {"words": clause.label if rule is None else rule.words, **_carried(event)}
            yield about(doubts.GOES_ON_FOR_EVER, clause.path, clause.span, facts, sight=sight)
        rest = () if clause.rest is None else bounds(clause.rest)
        for rule in (*clause.faults, *rest):
            if rule.path in survey.circles:
                sight = survey.circles[rule.path]
                facts = {"words": rule.words, **_carried(event)}
                yield about(doubts.GOES_ON_FOR_EVER, clause.path, rule.span, facts, sight=sight)


def _carried(event: Event) -> dict[str, str]:
    """Under `carry on` a broken limit of the event is kept, and ends nothing."""
    return {"carry_on": "carry on"} if event.carry_on else {}


def _clashes(standard: Standard, survey: Survey) -> Iterator[Finding]:
    rules = {rule.path: rule for rule in standard.rules()}
    where = owners(standard)
    for (graver, milder), sight in survey.clashes.items():
        one, other = rules[graver], rules[milder]
        if _escalates(one, other):
            continue
        yield about(
            doubts.TWO_FAULTS,
            block_of(other, where),
            other.span,
            {"graver": one.path, "milder": other.path},
            Label(one.span, "the graver"),
            sight=sight,
        )


def _escalates(graver: Rule, milder: Rule) -> bool:
    """In the same clause or one around it, from a greater number on: the author has said which is meant when."""
    match milder, graver:
        case Fault(trigger=Occurrence(more_than=few)), Fault(trigger=Occurrence(more_than=many)):
            return few < many and f"{milder.path}.".startswith(f"{graver.path.rpartition('.')[0]}.")
        case _:
            return False


def _anybody(event: Event, surveys: Surveys) -> Iterator[Finding]:
    survey, own = surveys.events[event.label], {rule.path for rule in event.rules()}
    if own & surveys.undecided:
        return
    for clause in event.clause.walk():
        passed = isinstance(clause.goal, For) and clause.path in survey.completed
        if passed and not survey.during.get(clause.path, set()) & own:
            yield about(doubts.ANYBODY_PASSES, clause.path, clause.span, {"name": clause.path})


def _live_in_rest(event: Event, survey: Survey) -> Iterator[Finding]:
    """Halts are left out: stopping for safety is meant at any time. So are notes, which hinder nobody."""
    items = {item.path: item for item in event.clause.walk()}
    for clause in event.clause.walk():
        graver = [fault for fault in clause.faults if fault.effect not in (Effect.HALT, Effect.NOTE)]
        silences = [limit for limit in clause.limits if limit.figure.kind is FigureKind.SILENCE]
        for rule in (*silences, *graver):
            shown = {path: sight for (acts, path), sight in survey.in_rests.items() if acts == rule.path}
            rests = [next(bounds(rest)) for path in items if path in shown and (rest := items[path].rest)]
            if rests:
                facts = {"words": rule.words, "rest": rests[0].words}
                also = (Label(rest.span, "this rest") for rest in rests)
                sight = next(shown[path] for path in items if path in shown)
                yield about(doubts.LIVE_IN_REST, clause.path, rule.span, facts, *also, sight=sight)


def _counts_without_time(
    standard: Standard, survey: Survey, event: Event, clause: Clause, around: tuple[Clause, ...]
) -> Iterator[Finding]:
    """Counted limits of which the last mark allowed may be followed by nothing, for ever."""
    inside = (*around, clause)
    timed = any(is_time_limit(limit) for each in inside for limit in each.limits)
    timed = timed or any(is_time_limit(limit) for limit in standard.always.limits)
    for limit in clause.limits:
        if not timed and limit.path in survey.run_out:
            facts = {"words": limit.words, "mark": limit.figure.mark or "", **_carried(event)}
            yield about(doubts.COUNT_WITHOUT_TIME, clause.path, limit.span, facts)
    for item in clause.items:
        yield from _counts_without_time(standard, survey, event, item, inside)


def _always_never(standard: Standard, surveys: Surveys) -> Iterator[Finding]:
    rules: tuple[Limit | Fault, ...] = (*standard.always.limits, *standard.always.faults)
    for rule in rules:
        code: Code
        beside: Limit | Fault | None
        if isinstance(rule, Limit):
            code, beside = doubts.IDLE_LIMIT, idle_beside(rule, standard.always.limits)
        else:
            code, beside = doubts.NEVER_ACTS, outranked(rule, standard.always.faults)
        if beside is not None:
            facts = {"words": rule.words, "culprit": beside.path}
            yield about(code, "always", rule.span, facts, Label(beside.span, "this is in the way"))
        elif not surveys.acts_in_the_test(rule) and rule.path not in surveys.undecided:
            yield about(code, "always", rule.span, {"words": rule.words})
