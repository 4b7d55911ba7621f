"""`boat_crew_entry`, edition 3.1, graded by hand: as one would write it to be read, with a class for each event.

The clauses of the standard are in its rule file; the numbers in brackets are those of `standards/meaning.md`.
"""

from enum import Enum, auto

from bench.by_hand import AttemptGiven, EventGiven, Log, LogEntry, ReasonGiven, VerdictGiven

SECOND = 1_000_000
MINUTE = 60 * SECOND
METRE = 1_000_000


def failed(path: str, entry: LogEntry, figure: int | None = None, margin: int | None = None) -> ReasonGiven:
    return ReasonGiven("fail", path, entry.at, entry.number, entry.line, figure, margin)


class Heaving:
    """Two hits in at most four throws, within 90 s."""

    def __init__(self, opened_at: int) -> None:
        self.opened_at = opened_at
        self.throws = 0
        self.hits = 0
        self.done = False

    def pass_time(self, now: int) -> None:
        pass

    def deadline(self) -> tuple[int, str]:
        return self.opened_at + 90 * SECOND, "heaving.throws.within"

    def hear(self, entry: LogEntry) -> ReasonGiven | None:
        if entry.mark == "throw":
            self.throws += 1
            if self.throws > 4:
                return failed("heaving.throws.within_throw", entry, self.throws, 4 - self.throws)
        elif entry.mark == "hit":
            self.hits += 1
            self.done = self.hits == 2
        return None


class EngineStep(Enum):
    CHECKS = auto()
    FUEL = auto()
    REST = auto()
    PULLS = auto()


class Engine:
    """Two checks in any order, the fuel, 20 s of rest, then at most three pulls; all within 6 min."""

    def __init__(self, opened_at: int) -> None:
        self.opened_at = opened_at
        self.step = EngineStep.CHECKS
        self.checked: set[str] = set()
        self.rest_since = 0
        self.pulls = 0
        self.done = False

    def pass_time(self, now: int) -> None:
        pass

    def deadline(self) -> tuple[int, str]:
        return self.opened_at + 6 * MINUTE, "engine.within"

    def hear(self, entry: LogEntry) -> ReasonGiven | None:
        if entry.mark == "check":
            self.check(entry)
        elif entry.mark == "pull":
            return self.pull(entry)
        elif entry.mark == "running":
            self.done = self.step is EngineStep.PULLS
        return None

    def check(self, entry: LogEntry) -> None:
        if self.step is EngineStep.CHECKS and entry.value in ("kill_cord", "neutral"):
            self.checked.add(entry.value)
            if len(self.checked) == 2:
                self.step = EngineStep.FUEL
        elif self.step is EngineStep.FUEL and entry.value == "fuel":
            self.step = EngineStep.REST
            self.rest_since = entry.at

    def pull(self, entry: LogEntry) -> ReasonGiven | None:
        if self.step in (EngineStep.CHECKS, EngineStep.FUEL):
            return failed("engine.pull.out_of_order", entry)
        if self.step is EngineStep.REST:
            rested = entry.at - self.rest_since
            if rested < 20 * SECOND:
                return failed("engine.pulls.rest", entry, rested, rested - 20 * SECOND)
            self.step = EngineStep.PULLS
        self.pulls += 1
        if self.pulls > 3:
            return failed("engine.pulls.within_pull", entry, self.pulls, 3 - self.pulls)
        return None


class WaterStep(Enum):
    TREAD = auto()
    RECOVER = auto()
    CASUALTY = auto()  # the casualty's signal is waited for
    REACH = auto()
    TOW = auto()


class Water:
    """Tread for 4 min, recover 60 m of line, then reach the casualty and tow; all within 20 min."""

    def __init__(self, opened_at: int) -> None:
        self.opened_at = opened_at
        self.step = WaterStep.TREAD
        self.since = opened_at  # when the step began
        self.answered_at = opened_at
        self.hands_down = 0
        self.line_in = 0
        self.let_go = 0
        self.done = False

    def begin(self, step: WaterStep, at: int) -> None:
        self.step = step
        self.since = at

    def pass_time(self, now: int) -> None:
        """Four minutes of treading are over, unless the candidate fell silent before (1, 12)."""
        if self.step is WaterStep.TREAD:
            trodden = self.since + 4 * MINUTE
            if trodden <= now and trodden <= self.silent_from():
                self.begin(WaterStep.RECOVER, trodden)

    def silent_from(self) -> int:
        return self.answered_at + 45 * SECOND

    def deadline(self) -> tuple[int, str]:
        """What runs out first; the deeper clause of two at one instant (1)."""
        in_all = self.opened_at + 20 * MINUTE, "water.within"
        match self.step:
            case WaterStep.TREAD:
                own = self.silent_from(), "water.tread.no_answer"
            case WaterStep.RECOVER:
                own = self.since + 5 * MINUTE, "water.recover.within"
            case WaterStep.CASUALTY:
                return in_all
            case WaterStep.REACH:
                own = self.since + 30 * SECOND, "water.casualty.reach.within"
            case WaterStep.TOW:
                own = self.since + 3 * MINUTE, "water.casualty.tow.within"
        return own if own[0] <= in_all[0] else in_all

    def hear(self, entry: LogEntry) -> ReasonGiven | None:
        match self.step:
            case WaterStep.TREAD:
                return self.hear_treading(entry)
            case WaterStep.RECOVER:
                self.hear_recovering(entry)
            case WaterStep.CASUALTY:
                if entry.mark == "ready":
                    self.begin(WaterStep.REACH, entry.at)
            case WaterStep.REACH | WaterStep.TOW:
                return self.hear_rescuing(entry)
        return None

    def hear_treading(self, entry: LogEntry) -> ReasonGiven | None:
        if entry.mark == "answer":
            self.answered_at = entry.at
        elif entry.mark == "hand_down":
            self.hands_down += 1
            if self.hands_down > 2:
                return failed("water.tread.hand_down", entry, self.hands_down, 2 - self.hands_down)
        return None

    def hear_recovering(self, entry: LogEntry) -> None:
        if entry.mark == "line_in":
            assert isinstance(entry.value, int)
            self.line_in += entry.value
            if self.line_in >= 60 * METRE:
                self.begin(WaterStep.CASUALTY, entry.at)

    def hear_rescuing(self, entry: LogEntry) -> ReasonGiven | None:
        if entry.mark == "let_go":
            self.let_go += 1
            if self.let_go > 1:
                return failed("water.casualty.let_go.at_most", entry, self.let_go, 1 - self.let_go)
            self.begin(WaterStep.REACH, entry.at)
            return ReasonGiven("restart", "water.casualty.let_go", entry.at, entry.number, entry.line)
        if self.step is WaterStep.REACH and entry.mark == "contact":
            self.begin(WaterStep.TOW, entry.at)
        elif self.step is WaterStep.TOW and entry.mark == "ashore":
            self.done = True
        return None


Course = Heaving | Engine | Water
EVENTS: tuple[tuple[str, type[Heaving] | type[Engine] | type[Water], int], ...] = (
    ("heaving", Heaving, 2),
    ("engine", Engine, 3),
    ("water", Water, 2),
)


class Grader:
    def __init__(self, log: Log) -> None:
        self.log = log
        self.outcome = "UNFINISHED"
        self.decided_at: int | None = None
        self.attempts: list[list[AttemptGiven]] = [[] for _ in EVENTS]
        self.event = 0  # the one that is open, or waited for
        self.charged = 0  # attempts of it
        self.course: Course | None = None

    def grade(self) -> VerdictGiven:
        for entry in self.log.entries:
            self.pass_time(entry.at)
            if self.decided_at is not None:
                break
            self.hear(entry)
        if self.log.end is not None:
            self.pass_time(self.log.end)
        return self.verdict()

    def pass_time(self, now: int) -> None:
        """All that falls due before now; at now itself completions only (1)."""
        if self.course is None:
            return
        self.course.pass_time(now)
        at, path = self.course.deadline()
        if at < now:
            self.fail(ReasonGiven("fail", path, at))

    def hear(self, entry: LogEntry) -> None:
        if self.course is None:
            if entry.mark == "go" and self.decided_at is None:
                self.open(entry)
        elif entry.mark == "stop_call":
            self.halt(entry)
        else:
            self.advance(self.course, entry)

    def open(self, entry: LogEntry) -> None:
        attempts = self.attempts[self.event]
        label, course, _ = EVENTS[self.event]
        attempt = AttemptGiven(len(attempts) + 1, entry.at)
        if label == "heaving" and attempts:
            self.note_early(attempt, attempts[-1], entry)
        attempts.append(attempt)
        self.charged += 1
        self.course = course(entry.at)

    def note_early(self, attempt: AttemptGiven, last: AttemptGiven, entry: LogEntry) -> None:
        assert last.ended_at is not None
        rested = entry.at - last.ended_at
        if rested < 2 * MINUTE:
            attempt.reasons.append(
                ReasonGiven(
                    "note",
                    "heaving.rest_between",
                    entry.at,
                    entry.number,
                    entry.line,
                    rested,
                    rested - 2 * MINUTE,
                )
            )

    def advance(self, course: Course, entry: LogEntry) -> None:
        reason = course.hear(entry)
        if reason is None:
            if course.done:
                self.end("GO", entry.at)
                self.event += 1
                self.charged = 0
                if self.event == len(EVENTS):
                    self.decide("GO", entry.at)
        elif reason.kind == "restart":
            self.attempts[self.event][-1].reasons.append(reason)
        else:
            self.fail(reason)

    def fail(self, reason: ReasonGiven) -> None:
        assert reason.at is not None
        self.attempts[self.event][-1].reasons.append(reason)
        self.end("failed", reason.at)
        if self.charged == EVENTS[self.event][2]:
            self.decide("NO-GO", reason.at)

    def halt(self, entry: LogEntry) -> None:
        attempt = self.attempts[self.event][-1]
        attempt.reasons.append(ReasonGiven("halt", "always.stop_call", entry.at, entry.number, entry.line))
        attempt.charged = False
        self.charged -= 1
        self.end("halted", entry.at)

    def end(self, ending: str, at: int) -> None:
        attempt = self.attempts[self.event][-1]
        attempt.ending = ending
        attempt.ended_at = at
        self.course = None

    def decide(self, outcome: str, at: int) -> None:
        self.outcome = outcome
        self.decided_at = at

    def verdict(self) -> VerdictGiven:
        unmet = list(unmet_conditions(self.log.conditions))
        events = [
            EventGiven(label, self.outcome_of(number), self.attempts[number])
            for number, (label, _, _) in enumerate(EVENTS)
        ]
        if unmet:
            return VerdictGiven("VOID", None, events, unmet)
        return VerdictGiven(self.outcome, self.decided_at, events, [])

    def outcome_of(self, number: int) -> str:
        if number < self.event:
            return "GO"
        if not self.attempts[number]:
            return "NOT BEGUN"
        return "NO-GO" if self.outcome == "NO-GO" else "UNFINISHED"


def unmet_conditions(stated: dict[str, int | bool]) -> list[ReasonGiven]:
    unmet = []
    for name, least in (("water_depth", 5 * METRE // 2), ("lookouts", 2)):
        if name not in stated:
            unmet.append(ReasonGiven("not stated", f"conditions.{name}", None))
        elif stated[name] < least:
            amount = stated[name]
            unmet.append(ReasonGiven("unmet", f"conditions.{name}", None, None, None, amount, amount - least))
    if "buoyancy_aid" not in stated:
        unmet.append(ReasonGiven("not stated", "conditions.buoyancy_aid", None))
    elif not stated["buoyancy_aid"]:
        unmet.append(ReasonGiven("unmet", "conditions.buoyancy_aid", None))
    return unmet


def grade(log: Log) -> VerdictGiven:
    return Grader(log).grade()
