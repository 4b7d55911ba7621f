"""Rounds: tries, what becomes of them, and what ends the rounds (rules 32 to 35)."""

from abc import abstractmethod

from standfast.machine.parts import Breach, MissedOut, Place, RoundsRow
from standfast.machine.registers import Registers
from standfast.machine.state import Closed, Reading, Retried, RoundsOver
from standfast.model.rules import Closing
from standfast.values import define


@define
class Tries(Registers):
    @abstractmethod
    def act(self, breach: Breach, figure: Reading) -> bool:
        """Let a breach act; whether it weighed more than a note."""

    @abstractmethod
    def complete(self, place: Place) -> None:
        """The place is done: judge it, and go on with what follows."""

    @abstractmethod
    def reach(self, place: Place) -> None:
        """A place's turn has come: it waits for its start mark, or begins."""

    @abstractmethod
    def put_to_sleep(self, place: Place) -> None:
        """The place and all inside it, with their clocks and rests."""

    @abstractmethod
    def forget(self, place: Place) -> None:
        """What was logged for the place and kept of it counts no longer."""

    def begin_try(self, place: Place) -> None:
        """A try at the open round: its goal counts anew, its items begin anew with the first."""
        if place.goal_register is not None:
            self.counters[place.goal_register] = 0
        goal_roll = rounds_of(place).goal_roll
        if goal_roll is not None:
            self.rolls[goal_roll] = ()
        for child in place.children:
            self.put_to_sleep(self.machine.places[child])
        for inner in self.machine.places[place.index + 1 : place.end]:
            self.forget(inner)
        self.signals.append(Retried(at=self.now, entry=self.entry, place=place.index))
        if place.children:
            self.reach(self.machine.places[place.children[0]])

    def make_round(self, place: Place) -> None:
        self.close_round(place, Closing.MADE)
        self.go_on(place)

    def pass_round(self, place: Place) -> None:
        self.close_round(place, Closing.PASSED)
        self.go_on(place)

    def miss_try(self, place: Place) -> None:
        rounds = rounds_of(place)
        if self.counters[rounds.tried] + 1 >= rounds.tries:
            self.close_round(place, Closing.MISSED)
        else:
            self.counters[rounds.tried] += 1
            self.count_miss(rounds)
        if not self.is_out(place):
            self.go_on(place)

    def pass_over(self, place: Place, number: int) -> bool:
        """A later round is named: those before it close as unmarked. Whether that ended the rounds."""
        rounds = rounds_of(place)
        assert rounds.unmarked is not None
        while self.counters[rounds.open] < number:
            self.close_round(place, rounds.unmarked)
            if self.is_out(place):
                return True
        self.begin_try(place)
        return False

    def end_rounds(self, place: Place) -> None:
        """No round is open any more, and the place is judged."""
        rounds = rounds_of(place)
        self.counters[rounds.open] = len(rounds.names)
        self.signals.append(RoundsOver(at=self.now, entry=self.entry, place=place.index))
        self.complete(place)

    def close_round(self, place: Place, ended: Closing) -> None:
        rounds = rounds_of(place)
        number = self.counters[rounds.open]
        match ended:
            case Closing.MADE:
                self.counters[rounds.made] += 1
                self.counters[rounds.furthest] = number + 1
                self.counters[rounds.row] = 0
            case Closing.MISSED:
                self.counters[rounds.missed] += 1
                self.count_miss(rounds)
            case Closing.PASSED:
                pass
        self.signals.append(Closed(at=self.now, entry=self.entry, place=place.index, round=number, ended=ended))
        self.counters[rounds.open] += 1
        self.counters[rounds.tried] = 0

    def count_miss(self, rounds: RoundsRow) -> None:
        self.counters[rounds.misses] += 1
        self.counters[rounds.row] += 1
        self.counters[rounds.longest] = max(self.counters[rounds.longest], self.counters[rounds.row])

    def is_out(self, place: Place) -> bool:
        """Whether the misses so far have ended the rounds just now."""
        rounds = rounds_of(place)
        out = next((each for each in rounds.outs if self.reached(each)), None)
        if out is None:
            return False
        self.counters[rounds.open] = len(rounds.names)
        self.act(out.breach, self.counters[out.counter])
        return True

    def reached(self, out: MissedOut) -> bool:
        return self.counters[out.counter] >= out.number

    def go_on(self, place: Place) -> None:
        rounds = rounds_of(place)
        if self.counters[rounds.open] >= len(rounds.names):
            self.end_rounds(place)
        else:
            self.begin_try(place)


def rounds_of(place: Place) -> RoundsRow:
    assert place.rounds is not None
    return place.rounds
