"""Rule 45: which part of a log is a candidate's who joins the others late, or leaves before them."""

from standfast.log.entry import Entry, Presence, SessionLog
from standfast.values import evolve


def attended(log: SessionLog, candidate: str) -> SessionLog:
    """The log read from the top: at joining all that was said before is forgotten, leaving is its end."""
    lines: list[Entry | Presence] = sorted((*log.entries, *log.presence), key=lambda line: line.number)
    heard: list[Entry] = []
    for line in lines:
        if isinstance(line, Entry):
            heard.append(line)
        elif line.candidate == candidate and line.joins:
            heard.clear()
        elif line.candidate == candidate:
            return evolve(log, entries=tuple(heard), end=line.at)
    return evolve(log, entries=tuple(heard))
