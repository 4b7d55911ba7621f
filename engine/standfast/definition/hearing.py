"""One candidate's log from the first entry to the end: what an entry does, and what time does between entries."""

from collections.abc import Iterator, Sequence

from standfast.definition.breach import (
    Breach,
    by_entry,
    counts,
    gravest_first,
    is_kept,
    out_of_order,
    stops,
    stops_waited_for,
    too_early,
    unmet,
)
from standfast.definition.course import (
    act,
    begin,
    begin_by_mark,
    complete,
    end_bests,
    end_rest,
    failure_is_kept,
    finds_nothing,
    make_round,
    open_attempt,
    open_without_mark,
    pass_over,
    remark,
)
from standfast.definition.due import (
    Due,
    LastsLongEnough,
    Phase,
    RestIsOver,
    RestIsTooLong,
    SilenceIsUp,
    TimeIsUp,
    next_due,
)
from standfast.definition.rounds import round_named
from standfast.definition.state import Course, Hearing, Run, Tally, micros, taken
from standfast.log.entry import Entry
from standfast.model.rules import FigureKind, For, Occurrence, OutOfOrder, Pattern, Until, UntilTotals
from standfast.model.standard import Kind, Standard
from standfast.verdict import ReasonKind, RemarkKind


def hear(standard: Standard, entries: Sequence[Entry], end: int | None, candidate: str) -> Hearing:
    """The whole log. Rule 3: `end` stands where an entry at its time would; without one no more time passes."""
    hearing = Hearing(standard, [Course(event) for event in standard.events])
    open_without_mark(hearing, None)  # Rule 26: a first event without a start mark opens at 0:00
    others: list[Entry] = []
    for entry in entries:
        if entry.candidate not in (None, candidate):
            others.append(entry)  # Rule 38: it lets no time pass
            continue
        overhear_all(hearing, others)
        pass_time(hearing, entry.at)
        take(hearing, entry)
    if end is not None:
        overhear_all(hearing, others)
        pass_time(hearing, end)
        end_bests(hearing)
    return hearing


def overhear_all(hearing: Hearing, others: list[Entry]) -> None:
    """Rule 38: what others' entries add, each at its time, now that time passes beyond them."""
    while others:
        entry = others.pop(0)
        if not any(mark == entry.mark for mark in hearing.standard.by_anyone):
            continue
        pass_time(hearing, entry.at)
        if not hearing.over:
            overhear(hearing, entry)


def overhear(hearing: Hearing, entry: Entry) -> None:
    """Rule 38: it is counted, and that is all."""
    for tally in hearing.tallies():
        tally.heard.append(entry)
    if hearing.faults is None:
        hearing.heard_before.append(entry)
    for run in hearing.root.open_runs() if hearing.root is not None else ():
        goal = run.clause.goal
        if isinstance(goal, Until) and goal.counting.by_anyone and advances(run, goal, entry):
            run.advanced.append(entry)
    _hear_while_waiting(hearing, entry, own=False)
    _complete_what_waited(hearing, entry)


def _hear_while_waiting(hearing: Hearing, entry: Entry, *, own: bool) -> None:
    """Rule 39: what waits for a start that is counted counts from when it began to wait."""
    for waits in _waiting(hearing):
        start = waits.start
        if start is not None and (own or start.counting.by_anyone):
            waits.heard.append(entry)


def _waiting(hearing: Hearing) -> Sequence[Run | Course]:
    return list(hearing.root.waiting_runs()) if hearing.root is not None else hearing.can_open()


def pass_time(hearing: Hearing, until: int) -> None:
    """Rule 1: all that falls due before the entries of this instant, in the order in which it falls due."""
    while not hearing.over:
        due = next_due(hearing)
        if due is None or (due.at, due.phase) > (until, Phase.ENTRIES):
            break
        hearing.now = due.at
        happen(hearing, due)
    hearing.now = until


def happen(hearing: Hearing, due: Due) -> None:
    """One thing that falls due."""
    match due.deed:
        case LastsLongEnough(run):
            complete(hearing, run, None)
        case RestIsOver(before):  # Rule 18
            if isinstance(before, Run):
                end_rest(hearing, before, by_mark=False)
                begin(hearing, before, None)
            else:
                open_attempt(hearing, before, None, by_mark=False)
        case TimeIsUp(breach):
            act(hearing, breach, None)
        case SilenceIsUp(breach, tally, mark):
            tally.silences_acted.append((breach.rule.path, tally.counted(mark)))  # Rule 12
            if finds_nothing(hearing, breach):
                remark(hearing, RemarkKind.NOTHING_OPEN, None, breach.rule.path)  # Rule 13
            elif not is_kept(hearing.attempt, breach.rule):
                act(hearing, breach, None)
        case RestIsTooLong(breach, before):  # Rule 18: it acts once a rest
            if isinstance(before, Run):
                before.rest_was_too_long = True
            elif before.last is not None:
                before.last.rest_after_was_too_long = True
            act(hearing, breach, None)


def take(hearing: Hearing, entry: Entry) -> None:
    """Rules 4 to 8: what an entry does."""
    if hearing.over:
        remark(hearing, RemarkKind.AFTER_VERDICT, entry)  # Rule 8
        return
    if hearing.faults is None:  # Rule 13: live from the first entry, itself included
        heard = hearing.heard_before  # Rule 38: others' entries, from the log's first
        hearing.faults = Tally((), hearing.standard.always.faults, since=entry.at, heard=heard)
    fits = True
    if (found := round_named(hearing, entry)) is not None:  # Rule 33
        run, number = found
        if run.open_round is not None and number > run.open_round and _may_pass_over(run):
            pass_over(hearing, run, number, entry)
            if run.open_round is None:  # Rule 33: that ended the rounds
                _complete_what_waited(hearing, entry)
                return
        fits = number == run.open_round
    tallies = hearing.tallies()
    counted_start = fits and any(_counts_to_start(waits, entry) for waits in _waiting(hearing))  # Rule 39
    if fits:
        _hear_while_waiting(hearing, entry, own=True)
    uses: list[Run | Course]
    if not fits:
        uses = []
    elif hearing.root is not None:  # Rule 8: a start mark while its attempt is open opens nothing
        uses = list(_uses(hearing.root, entry))
    else:
        uses = [course for course in hearing.can_open() if _starts(course, entry)]
    strays: list[Breach] = list(stops(hearing, entry))
    used = strays or uses or counted_start or any(counts(hearing, tally, entry) for tally in tallies)
    if not fits or not used:  # Rule 8: a mark with no use
        for tally in tallies:
            strays += [b for b in out_of_order(hearing, tally, entry) if not is_kept(hearing.attempt, b.rule)]
        if not strays:
            named = [pattern.fits(entry.mark, entry.value) for pattern in _named(hearing, tallies, entry.mark)]
            remark(hearing, RemarkKind.UNFIT if named and not any(named) else RemarkKind.NO_USE, entry)
    show(hearing, entry, tallies if fits else [], uses, strays)
    _complete_what_waited(hearing, entry)


def _named(hearing: Hearing, tallies: Sequence[Tally], mark: str) -> Iterator[Pattern]:
    """Rule 8: what the faults, goals and starts in play say of a mark; and a limit that counts it (rule 38)."""
    patterns: list[Pattern] = []
    for tally in tallies:
        counting = (limit.figure.mark for limit in tally.limits if limit.figure.kind is FigureKind.COUNT)
        patterns += [Pattern(each) for each in counting if each is not None]
        for fault in tally.faults:
            if isinstance(fault.trigger, Occurrence | OutOfOrder):
                patterns.append(fault.trigger.pattern)
    for run in hearing.root.open_runs() if hearing.root is not None else ():
        if isinstance(run.clause.goal, Until):
            patterns.append(run.clause.goal.pattern)
    patterns += [pattern for _, pattern, _ in stops_waited_for(hearing)]
    for waits in _waiting(hearing):
        start = waits.clause.start if isinstance(waits, Run) else waits.start
        if start is not None:
            patterns.append(start.pattern)
    return (pattern for pattern in patterns if pattern.mark == mark)


def _may_pass_over(run: Run) -> bool:
    """Rule 33: without a word on unmarked rounds each is owed."""
    return run.clause.rounds is not None and run.clause.rounds.unmarked is not None


def show(
    hearing: Hearing,
    entry: Entry,
    tallies: Sequence[Tally],
    uses: Sequence[Run | Course],
    strays: Sequence[Breach] = (),
) -> None:
    """Rules 4 and 5, for the clauses whose tallies these are and the uses they have for the entry."""
    # Rule 4: each counts it, whatever acts.
    for tally in tallies:
        tally.shown.append(entry)
        tally.heard.append(entry)
    use = min(uses, key=_written, default=None)
    triggered = [*strays, *too_early(hearing, use)]
    for tally in tallies:
        triggered += by_entry(hearing, tally, entry)
    acting = []
    for breach in gravest_first(triggered):
        if is_kept(hearing.attempt, breach.rule):
            continue  # Rule 21: it does nothing more in this attempt
        if finds_nothing(hearing, breach):
            remark(hearing, RemarkKind.NOTHING_OPEN, entry, breach.rule.path)  # Rule 13
        else:
            acting.append(breach)
    # Rule 4: all notes are kept, whatever acts; rule 23: they stand before it.
    for breach in acting:
        if breach.weight is ReasonKind.NOTE:
            act(hearing, breach, entry)
    # Rule 4: the gravest acts.
    if acting and acting[0].weight is not ReasonKind.NOTE:
        kept = failure_is_kept(hearing, acting[0])
        act(hearing, acting[0], entry)
        if not kept:
            return  # Rule 5: something graver than a note acted. Rule 7: what opened is not shown the entry
    # Rule 5: it can do one more thing.
    match use:
        case Course():
            _open_by_mark(hearing, use, entry)
        case Run() if use.waits:
            begin_by_mark(hearing, use, entry)
            if use.clause.start is not None and use.clause.start.first:
                for run in use.waiting_runs():
                    run.heard.append(entry)  # Rules 6 and 39
                show(hearing, entry, use.open_tallies(), list(_uses(use, entry)))  # Rule 6
        case Run():
            use.advanced.append(entry)
            if _goal_is_reached(use):
                done = make_round if use.clause.kind is Kind.ROUNDS else complete
                done(hearing, use, entry)


def _open_by_mark(hearing: Hearing, course: Course, entry: Entry) -> None:
    """Rules 6, 13 and 17."""
    woken = open_attempt(hearing, course, entry, by_mark=True)
    root = hearing.root
    if course.start is not None and course.start.first and root is not None:
        for run in root.waiting_runs():
            run.heard.append(entry)  # Rules 6 and 39
        always = [hearing.limits] if woken and hearing.limits is not None else []
        show(hearing, entry, [*always, *root.open_tallies()], list(_uses(root, entry)))


def _uses(run: Run, entry: Entry) -> Iterator[Run]:
    """Rule 5: from here inwards, the open steps whose goal it would advance and the clauses it would begin."""
    for each in run.open_runs():
        match each.clause.goal:
            case Until() as goal if advances(each, goal, entry):
                yield each
            case UntilTotals(mark=mark) if mark == entry.mark:
                yield each
    for each in run.waiting_runs():
        if _starts(each, entry):
            yield each


def advances(run: Run, goal: Until, entry: Entry) -> bool:
    """Rule 38: with `once a grader` not the second of one grader."""
    again = goal.counting.once_a_grader and any(each.by == entry.by for each in run.advanced)
    return goal.pattern.fits(entry.mark, entry.value) and not again


def _starts(waits: Run | Course, entry: Entry) -> bool:
    """Rule 39: whether it begins with the entry, which was heard already: so many that fit came before."""
    start = waits.start
    if start is None or not start.pattern.fits(entry.mark, entry.value):
        return False
    fitting = taken(start.counting, [e for e in waits.heard if start.pattern.fits(e.mark, e.value)])
    return start.more_than == 0 or (entry in fitting and len(fitting) > start.more_than)


def _counts_to_start(waits: Run | Course, entry: Entry) -> bool:
    """Rule 39: whether a start that is counted will count the entry, which was not heard yet."""
    start = waits.start
    if start is None or start.more_than == 0 or not start.pattern.fits(entry.mark, entry.value):
        return False
    return entry in taken(
        start.counting, [e for e in (*waits.heard, entry) if start.pattern.fits(e.mark, e.value)]
    )


def _written(use: Run | Course) -> int:
    """Rule 5: the written order of clauses."""
    return use.clause.order if isinstance(use, Run) else use.event.clause.order


def _goal_is_reached(run: Run) -> bool:
    goal = run.clause.goal
    if isinstance(goal, UntilTotals):
        return run.total() >= goal.amount.base
    return isinstance(goal, Until) and len(run.advanced) >= goal.number


def _complete_what_waited(hearing: Hearing, entry: Entry) -> None:
    """Rule 2: a `for` that had too few at its last instant completes with the entry that gives it enough."""
    while waited := [
        run for run in _lasted(hearing) if run.tally is not None and not unmet(hearing, run.tally, hearing.now)
    ]:
        waited.sort(key=lambda run: (-run.clause.depth, run.clause.order))  # Rule 1: the deeper first
        complete(hearing, waited[0], entry)


def _lasted(hearing: Hearing) -> Iterator[Run]:
    for run in hearing.root.open_runs() if hearing.root is not None else ():
        goal = run.clause.goal
        if (
            isinstance(goal, For)
            and run.tally is not None
            and run.tally.since + micros(goal.length) <= hearing.now
        ):
            yield run
