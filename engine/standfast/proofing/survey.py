"""What can happen under a standard, found by exploring it: the facts that findings and boundary books are made of.

Every sight is a shortest way to something. What has no sight cannot happen, in any log.
"""

from collections.abc import Callable, Iterator

from standfast.machine.compile import compile_standard
from standfast.machine.effort import Effort
from standfast.machine.explore import Explorer, Node
from standfast.machine.parts import LIVE, Location, Machine
from standfast.machine.witness import is_guess, log_of
from standfast.model.rules import Effect, Fault, Limit, Misses, RestBound, Silence
from standfast.model.standard import Event, Standard
from standfast.proofing.circles import can_be_put_off, endless_restarts, restart_circles, silence_circles
from standfast.proofing.sights import Sight, Survey
from standfast.proofing.slices import alone, ends_an_attempt, secluded, with_heard_marks, without
from standfast.values import define, evolve

MOST_POSITIONS = 3_000
"""Where a search gives up: of an event, of one with one more rule, of a whole test for one rule of `always`."""

MOST_EFFORT = 100_000
"""Where all searches in one standard together give up, those for what is in the way of something included."""


@define
class Surveys:
    """The surveys of one standard: of each event alone, by label, and of rules of `always` in the whole test.

    `undecided` are the paths of rules of which neither a way nor its absence was found within bounds; of an event
    that is too large to be looked through, its own and every path in it.
    """

    standard: Standard
    events: dict[str, Survey]
    whole: dict[str, Survey]
    undecided: set[str]
    visited: int
    effort: Effort

    def turns(self) -> set[str]:
        """The events whose turn can come, those that were too large taken as passed."""
        standard, turns = self.standard, set[str]()
        for event in standard.events:
            turns.add(event.label)
            survey = self.events[event.label]
            failed = standard.carry_on and survey.spent and event.attempts is not None
            passed = survey.go is not None or event.label in self.undecided
            if not (passed or failed or standard.events_in_any_order):
                break
        return turns

    def acts_in_the_test(self, rule: Limit | Fault) -> bool:
        """Whether a rule of `always` has been seen to act, by a way that is one of the whole test."""
        standard = self.standard
        if rule.path in self.whole and rule.path in self.whole[rule.path].broken:
            return True
        if len(standard.events) > 1 and isinstance(rule, Limit) and rule.judged_late and not rule.acts_at_once:
            return False  # it is judged at the end of the last event
        return any(rule.path in self.events[label].broken for label in self.turns())

    def broken(self, path: str) -> Sight | None:
        return self._first(lambda survey: survey.broken.get(path))

    def met(self, path: str) -> Sight | None:
        return self._first(lambda survey: survey.met.get(path))

    def _first(self, found: Callable[[Survey], Sight | None]) -> Sight | None:
        surveys = (*self.events.values(), *self.whole.values())
        return next((sight for survey in surveys if (sight := found(survey)) is not None), None)


def surveyed(standard: Standard, effort: Effort | None = None) -> Surveys:
    """Explore each event alone, then its secluded rules one by one; without `effort` there is the most."""
    result = Surveys(standard, {}, {}, set(), 0, effort or Effort(MOST_EFFORT))
    for event in standard.events:
        _survey_event(result, event)
    always: tuple[Limit | Fault, ...] = (*standard.always.limits, *standard.always.faults)
    too_large = any(label in result.undecided for label in result.events)
    for rule in always:
        if not result.acts_in_the_test(rule) or (
            rule.path in _numbered(standard) and result.met(rule.path) is None
        ):
            if too_large:  # so is the whole test
                result.undecided.add(rule.path)
            else:
                _survey_whole(result, rule)
    return result


def _survey_whole(surveys: Surveys, rule: Limit | Fault) -> None:
    """A rule of `always` that no event alone shows in full may still act across events and the waits between."""
    standard = evolve(
        surveys.standard, conditions=(), events=tuple(evolve(e, conditions=()) for e in surveys.standard.events)
    )
    apart = [other for other in secluded(standard) if other.path != rule.path]
    ending = [other for other in apart if ends_an_attempt(standard, other)]
    has_number = rule.path in _numbered(standard)
    for left_out in (apart, [other for other in apart if other not in ending]) if ending else (apart,):
        machine = compile_standard(without(standard, left_out))
        explorer = Explorer(machine, effort=surveys.effort)
        survey = surveys.whole[rule.path] = Survey(machine, surveys.effort)
        guesses = Survey(machine, surveys.effort)
        for node in explorer.nodes():
            _see(survey, guesses, node, explorer)
            if survey.has_both(rule.path, has_number) or explorer.visited > MOST_POSITIONS:
                break
        surveys.visited += explorer.visited
        if rule.path in survey.broken:
            return
        surveys.undecided |= {rule.path} & guesses.seen()
    if _gave_up(explorer):
        surveys.undecided.add(rule.path)


def _gave_up(explorer: Explorer) -> bool:
    """Whether there may be more than was looked at."""
    return explorer.visited > MOST_POSITIONS or explorer.effort.spent


def _survey_event(surveys: Surveys, event: Event) -> None:
    one = with_heard_marks(alone(surveys.standard, event))
    apart = secluded(one)
    base = without(one, apart)
    machine = compile_standard(base)
    survey = surveys.events[event.label] = Survey(machine, surveys.effort)
    explorer = Explorer(machine, timed=True, effort=surveys.effort)
    whole = compile_standard(one)
    turns = []
    guesses = Survey(machine, surveys.effort)
    watched: set[tuple[Location, ...]] = set()
    for node in explorer.nodes():
        _see(survey, guesses, node, explorer)
        if node.position.state.open is not None and explorer.may_be_entered(node):
            survey.see_waiting(node)
            locations = node.position.state.locations
            if locations not in watched:
                watched.add(locations)
                _watch(survey, whole, locations)
        if endless_restarts(node) or can_be_put_off(machine, node):
            turns.append(node)
        if _gave_up(explorer):
            break
    surveys.visited += explorer.visited
    surveys.undecided |= guesses.seen() - survey.seen()
    surveys.undecided |= {path for path, _ in guesses.given - survey.given}
    if _gave_up(explorer):
        surveys.undecided |= set(_paths(event))
        return
    for path, way in restart_circles(machine, turns, surveys.effort):
        survey.circles[path] = Sight(machine, way)
    for way in silence_circles(machine, turns, surveys.effort):
        for path in survey.waiting(way.position.state):
            survey.circles.setdefault(path, Sight(machine, way))
    if surveys.effort.spent:
        surveys.undecided |= set(_paths(event))
        return
    for rule in apart:
        if isinstance(rule, Limit) and rule.path.rpartition(".")[0] in survey.stopped:
            survey.run_out.add(rule.path)
        _survey_rule(surveys, survey, without(one, (other for other in apart if other is not rule)), rule)


def _see(survey: Survey, guesses: Survey, node: Node, explorer: Explorer) -> None:
    """Take down what a step shows, apart from the rest where no log is known that bears it out."""
    known = not is_guess(node) or log_of(survey.machine, node, session="", effort=survey.effort) is not None
    (survey if known else guesses).see(node, explorer.attempt_clock)


def _paths(event: Event) -> Iterator[str]:
    yield from (clause.path for clause in event.clause.walk())
    for rule in event.rules():
        yield rule.path
        yield f"{rule.path}.at_most"


def _survey_rule(surveys: Surveys, survey: Survey, standard: Standard, rule: Limit | Fault) -> None:
    """Explore with one more rule until it has been seen broken and met."""
    machine = compile_standard(standard)
    explorer = Explorer(machine, effort=surveys.effort)
    one = Survey(machine, surveys.effort)
    has_number = rule.path in _numbered(standard)
    in_rests, guesses = _wanted_in_rests(survey, rule), Survey(machine, surveys.effort)

    def is_shown() -> bool:
        return one.has_both(rule.path, has_number) and in_rests <= one.in_rests.keys()

    for node in explorer.nodes():
        _see(one, guesses, node, explorer)
        if is_shown() or _gave_up(explorer):
            break
    if _gave_up(explorer) and not is_shown():
        surveys.undecided.add(rule.path)
    surveys.visited += explorer.visited
    surveys.undecided |= {rule.path} & (guesses.seen() - one.seen())
    for pair in in_rests & one.in_rests.keys():
        survey.in_rests[pair] = one.in_rests[pair]
    for theirs, ours in ((one.broken, survey.broken), (one.met, survey.met)):
        if rule.path in theirs:
            ours[rule.path] = theirs[rule.path]
    survey.spent |= one.spent
    for pair, sight in one.clashes.items():
        survey.clashes.setdefault(pair, sight)
    if rule.path in one.broken and not (isinstance(rule, Fault) and rule.effect is Effect.NOTE):
        owner = rule.path.rpartition(".")[0]
        for path, beside in survey.beside.items():  # its mark can be logged whenever its clause is open
            if owner == "always" or owner in beside:
                survey.during.setdefault(path, set()).add(rule.path)


def _wanted_in_rests(survey: Survey, rule: Limit | Fault) -> set[tuple[str, str]]:
    """The rests, by the rule and the item, during which the rule would be doubtful."""
    if not isinstance(rule, Fault) or rule.effect in (Effect.NOTE, Effect.HALT):
        return set()
    owner = rule.path.rpartition(".")[0]
    return {(rule.path, path) for path in survey.rested if path.startswith(f"{owner}.")}


def _numbered(standard: Standard) -> set[str]:
    """The paths of rules that compare a figure with a number."""
    return set(numbered(standard))


def numbered(standard: Standard) -> Iterator[str]:
    """The path of every bound a standard has, a restart's number included."""
    for rule in standard.rules():
        match rule:
            case Limit():
                yield rule.path
            case Fault():
                if getattr(rule.trigger, "more_than", 0) or isinstance(rule.trigger, Silence | Misses):
                    yield rule.path
                if rule.at_most is not None:
                    yield f"{rule.path}.at_most"
            case RestBound():
                yield rule.path
                if rule.at_most is not None:
                    yield f"{rule.path}.at_most"
            case _:
                pass


def _watch(survey: Survey, whole: Machine, locations: tuple[Location, ...]) -> None:
    """How many different marks can matter where the clauses stand so, for each step that is open then."""
    marks = set()
    for mark, watch in whole.watches.items():
        live = any(
            locations[row.place] in LIVE
            for rows in ([row for row in watch.counts if not row.waits], watch.hushes, watch.strikes)
            for row in rows
        ) or any(locations[place] in LIVE for place in watch.places)
        wanted = any(
            locations[use.place] is (Location.WAITING if use.begins else Location.OPEN) for use in watch.uses
        )
        if live or wanted:
            marks.add(mark)
    for place in whole.places:
        if place.goal is not None and locations[place.index] in LIVE:
            survey.watched[place.path] = max(len(marks), survey.watched.get(place.path, 0))
