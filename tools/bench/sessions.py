"""Sessions of `boat_crew_entry`, edition 3.1, as a grader would have logged them: JSON Lines, some 110 entries.

Everything comes from the seed. Most of a session goes as it should; faults are strewn in, times lie at a limit or
a hair beyond it, attempts are stopped for safety, marks without a use stand between the others, logs break off.
"""

import json
from collections.abc import Iterator, Mapping
from random import Random

from standfast.quantity import clock

SECOND = 1_000_000
STANDARD = "boat_crew_entry/boat_crew_entry_2.standard"
_ALLOWED = {"heaving": 2, "engine": 3, "water": 2}
_UNMET = ({"water_depth": "2.4 m"}, {"lookouts": 1}, {"buoyancy_aid": False}, {"water_depth": None})

Row = tuple[int, str, str | None]
"""When in microseconds, the mark, its value as logged."""


def sessions(seed: int, number: int) -> Iterator[bytes]:
    """So many logs, each as the bytes of its file."""
    for place in range(number):
        yield _session(Random(f"{seed}/{place}"), place)


def _session(rng: Random, number: int) -> bytes:
    rows: list[Row] = []
    share = rng.choice((0.0, 0.2, 0.4))
    for event, allowed in _ALLOWED.items():
        charged, faulty = 0, True
        while faulty and charged < allowed:
            attempt = _Attempt(rng, rows[-1][0] if rows else 0)
            faulty = rng.random() < (share if event != "water" else share * 1.5)
            getattr(attempt, event)(faulty)
            rows += attempt.rows
            charged += rows[-1][1] != "stop_call"
        if faulty:
            break
    _strew(rng, rows)
    end: int | None = rows[-1][0] + rng.choice((0, 1, 30 * SECOND))
    if rng.random() < 0.22:
        del rows[rng.randrange(len(rows) // 2, len(rows)) :]
        end = rng.choice((None, rows[-1][0], rows[-1][0] + 10 * SECOND))
    return _bytes(rng, number, rows, end)


def _strew(rng: Random, rows: list[Row]) -> None:
    """Marks that have no use most of the time, at the instants of others."""
    for _ in range(rng.choice((0, 1, 2, 4))):
        place = rng.randrange(len(rows))
        mark = rng.choice(("go", "hit", "answer", "ready", "running"))
        rows.insert(place + 1, (rows[place][0], mark, None))


def _bytes(rng: Random, number: int, rows: list[Row], end: int | None) -> bytes:
    stated: dict[str, object] = {"water_depth": "3.2 m", "lookouts": 2, "buoyancy_aid": True}
    if rng.random() < 0.03:
        stated |= rng.choice(_UNMET)
    header = {
        "session": f"bench/{number}",
        "standard": "boat_crew_entry",
        "edition": "3.1",
        "candidate": "C-014",
        "conditions": {name: fact for name, fact in stated.items() if fact is not None},
    }
    lines: list[Mapping[str, object]] = [header]
    for at, mark, value in rows:
        line: dict[str, object] = {"at": clock(at), "mark": mark}
        lines.append(line if value is None else line | {"value": value})
    if end is not None:
        lines.append({"end": clock(end)})
    return "".join(f"{json.dumps(line)}\n" for line in lines).encode()


class _Attempt:
    """One attempt at an event while it is made up; a faulty one has one fault, and stops with it."""

    def __init__(self, rng: Random, now: int) -> None:
        self.rng = rng
        self.now = now
        self.rows: list[Row] = []
        self.wait(60, 200)
        self.opened = self.now

    def log(self, mark: str, value: str | None = None) -> None:
        self.rows.append((self.now, mark, value))

    def wait(self, least: int, most: int) -> None:
        """Some tenths of a second."""
        self.now += self.rng.randint(least * 10, most * 10) * SECOND // 10

    def stretch(self, limit: int) -> None:
        """Now and then exactly as long as may be."""
        if self.rng.random() < 0.1:
            self.now = max(self.now, limit)

    def overrun(self, limit: int) -> None:
        """Too late by a hair, or by a little more."""
        self.now = max(self.now, limit) + self.rng.choice((1, SECOND // 10, 3 * SECOND))

    def fault(self, faulty: bool, *kinds: str) -> str:
        """Which fault is made; no name for none. Any attempt can be stopped for safety."""
        return self.rng.choice((*kinds, "stop")) if faulty else ""

    def heaving(self, faulty: bool) -> None:
        fault = self.fault(faulty, "throws", "late")
        self.log("go")
        hits = self.rng.choice(((1, 1), (1, 0, 1), (0, 1, 1), (1, 0, 0, 1)))
        for hit in (1, 0, 0, 0, 0) if fault == "throws" else hits[: 1 if fault else None]:
            self.wait(4, 14)
            self.log("throw")
            if hit:
                self.wait(1, 2)
                self.log("hit")
        if fault == "late":
            self.overrun(self.opened + 90 * SECOND)
            self.log("hit")
        if fault == "stop":
            self.log("stop_call")

    def engine(self, faulty: bool) -> None:
        fault = self.fault(faulty, "order", "rest", "pulls", "late")
        self.log("go")
        for check in self.rng.choice(
            (("kill_cord", "neutral"), ("neutral", "kill_cord"), ("neutral", "fuel", "kill_cord"))
        ):
            self.wait(3, 15)
            self.log("check", check)
        if fault in ("order", "stop"):
            self.log("pull" if fault == "order" else "stop_call")
            return
        self.wait(3, 15)
        self.log("check", "fuel")
        self.wait(*(15, 19) if fault == "rest" else (20, 24))
        for _ in range(4 if fault == "pulls" else 1 if fault else self.rng.randint(1, 3)):
            self.log("pull")
            self.wait(2, 9)
        if fault == "late":
            self.overrun(self.opened + 360 * SECOND)
        if fault in ("", "late"):
            self.log("running")

    def water(self, faulty: bool) -> None:
        fault = self.fault(faulty, "hands", "silent", "slow", "late", "let_go", "reach", "tow")
        self.log("go")
        self.tread(fault)
        if fault not in ("hands", "silent"):
            self.recover(fault)
        if fault not in ("hands", "silent", "slow", "stop"):
            self.casualty(fault)

    def tread(self, fault: str) -> None:
        over = self.opened + 240 * SECOND
        hands = 3 if fault == "hands" else self.rng.choice((0, 0, 1, 2))
        while self.now < over - 40 * SECOND:
            since = self.now
            self.wait(10, 20)
            self.stretch(since + 45 * SECOND)
            if hands:
                self.log("hand_down")
                hands -= 1
            if fault == "silent" and self.rng.random() < 0.2:
                self.overrun(since + 45 * SECOND)
                self.log("answer")
                return
            self.log("answer")
        self.now = max(self.now, over)

    def recover(self, fault: str) -> None:
        began, centimetres = self.now, 0
        while centimetres < 6000:
            self.wait(1, 4)
            pulled = min(self.rng.randint(50, 130), 6000 - centimetres)
            centimetres += pulled
            if centimetres == 6000:
                self.stretch(began + 300 * SECOND)
                if fault == "slow":
                    self.overrun(began + 300 * SECOND)
            elif fault == "stop" and self.rng.random() < 0.02:
                break
            self.log("line_in", f"{pulled / 100:g} m" if self.rng.random() < 0.9 else f"{pulled} cm")
        if fault == "stop":
            self.log("stop_call")

    def casualty(self, fault: str) -> None:
        self.wait(5, 20)
        if fault == "late":
            self.overrun(self.opened + 1200 * SECOND)
        self.log("ready")
        if fault == "late":
            return
        for _ in range(2 if fault == "let_go" else self.rng.choice((0, 0, 0, 1))):
            self.reach(fault="")
            self.wait(2, 30)
            self.log("let_go")
        if fault == "let_go":
            return
        self.reach(fault)
        if fault == "reach":
            return
        since = self.now
        self.wait(60, 170)
        self.stretch(since + 180 * SECOND)
        if fault == "tow":
            self.overrun(since + 180 * SECOND)
        self.log("ashore")

    def reach(self, fault: str) -> None:
        since = self.now
        self.wait(10, 28)
        self.stretch(since + 30 * SECOND)
        if fault == "reach":
            self.overrun(since + 30 * SECOND)
        self.log("contact")
