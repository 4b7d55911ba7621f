"""How far rounds have gone, from the signals of an attempt."""

from standfast.machine.parts import Machine
from standfast.machine.state import Began, Closed, Restarted, Retried, RoundsOver, Signal
from standfast.model.rules import Closing
from standfast.values import define, evolve, field, frozen


@frozen
class Standing:
    """`furthest` is the name of the greatest round made; `over`: no round is open any more."""

    path: str
    made: int = 0
    missed: int = 0
    furthest: str | None = None
    over: bool = False


@define
class Standings:
    """By place, for each that has begun in the run of the clauses around it."""

    machine: Machine
    by_place: dict[int, Standing] = field(factory=dict)

    def add(self, signal: Signal) -> None:
        match signal:
            case Began(place=place) if self.machine.places[place].rounds is not None:
                self.by_place[place] = Standing(self.machine.places[place].path)
            case Closed(place=place, round=number, ended=ended):
                self._close(place, number, ended)
            case RoundsOver(place=place):
                self.by_place[place] = evolve(self.by_place[place], over=True)
            case Restarted(place=place):
                self._forget(range(place, self.machine.places[place].end))
            case Retried(place=place):
                self._forget(range(place + 1, self.machine.places[place].end))
            case _:
                pass

    def _close(self, place: int, number: int, ended: Closing) -> None:
        rounds, before = self.machine.places[place].rounds, self.by_place[place]
        assert rounds is not None
        if ended is Closing.MADE:
            self.by_place[place] = evolve(before, made=before.made + 1, furthest=rounds.names[number])
        elif ended is Closing.MISSED:
            self.by_place[place] = evolve(before, missed=before.missed + 1)

    def _forget(self, places: range) -> None:
        for place in places:
            self.by_place.pop(place, None)
