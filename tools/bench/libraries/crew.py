"""What any state machine of the boat crew's entry check counts and asks: the model behind a library's states.

The libraries own the states and the ways between them; here are the registers, the guards on them and what an
entry does to them. Only the outcome comes of it: no library is asked for instants and reasons.
"""

from bench.by_hand import LogEntry

SECOND = 1_000_000
OUTCOMES = {"passed": "GO", "not_passed": "NO-GO"}
"""By the state in which the machine has come to rest; in any other it is UNFINISHED."""


class Registers:
    def __init__(self) -> None:
        self.charged = 0
        self.opened = self.since = self.answered = 0
        self.throws = self.hits = self.pulls = self.hands = self.line_in = self.let_go_times = 0
        self.checked: set[str] = set()

    # --- what an entry does -----------------------------------------------------------------------------

    def open_attempt(self, entry: LogEntry) -> None:
        self.charged += 1
        self.opened = self.since = self.answered = entry.at
        self.throws = self.hits = self.pulls = self.hands = self.line_in = self.let_go_times = 0
        self.checked = set()

    def begin(self, entry: LogEntry) -> None:
        self.since = entry.at

    def begin_recovering(self, entry: LogEntry) -> None:
        self.since += 240 * SECOND

    def pass_event(self, entry: LogEntry) -> None:
        self.charged = 0

    def give_back(self, entry: LogEntry) -> None:
        self.charged -= 1

    def count_throw(self, entry: LogEntry) -> None:
        self.throws += 1

    def count_hit(self, entry: LogEntry) -> None:
        self.hits += 1

    def check_off(self, entry: LogEntry) -> None:
        self.checked.add(str(entry.value))

    def count_pull(self, entry: LogEntry) -> None:
        self.pulls += 1

    def count_hand(self, entry: LogEntry) -> None:
        self.hands += 1

    def hear_answer(self, entry: LogEntry) -> None:
        self.answered = entry.at

    def recover(self, entry: LogEntry) -> None:
        assert isinstance(entry.value, int)
        self.line_in += entry.value

    def let_go_once(self, entry: LogEntry) -> None:
        self.let_go_times += 1
        self.since = entry.at

    # --- guards -----------------------------------------------------------------------------------------

    def both_spent(self, entry: LogEntry) -> bool:
        return self.charged == 2

    def all_three_spent(self, entry: LogEntry) -> bool:
        return self.charged == 3

    def fourth_throw_was(self, entry: LogEntry) -> bool:
        return self.throws == 4

    def second_hit_comes(self, entry: LogEntry) -> bool:
        return self.hits == 1

    def other_check_is_done(self, entry: LogEntry) -> bool:
        return entry.value in ("kill_cord", "neutral") and bool(self.checked - {entry.value})

    def is_one_of_the_two(self, entry: LogEntry) -> bool:
        return entry.value in ("kill_cord", "neutral")

    def is_fuel(self, entry: LogEntry) -> bool:
        return entry.value == "fuel"

    def too_soon(self, entry: LogEntry) -> bool:
        return entry.at - self.since < 20 * SECOND

    def third_pull_was(self, entry: LogEntry) -> bool:
        return self.pulls == 3

    def second_hand_was(self, entry: LogEntry) -> bool:
        return self.hands == 2

    def enough_comes(self, entry: LogEntry) -> bool:
        assert isinstance(entry.value, int)
        return self.line_in + entry.value >= 60 * SECOND  # a length, in millionths of a metre

    def let_go_before(self, entry: LogEntry) -> bool:
        return self.let_go_times == 1

    # --- what has run out before an entry ------------------------------------------------------------------

    def throws_late(self, entry: LogEntry) -> bool:
        return entry.at > self.opened + 90 * SECOND

    def engine_late(self, entry: LogEntry) -> bool:
        return entry.at > self.opened + 360 * SECOND

    def silent(self, entry: LogEntry) -> bool:
        silent_from = self.answered + 45 * SECOND
        return silent_from < min(entry.at, self.opened + 240 * SECOND)

    def trodden(self, entry: LogEntry) -> bool:
        return entry.at >= self.opened + 240 * SECOND

    def recovery_late(self, entry: LogEntry) -> bool:
        return entry.at > self.since + 300 * SECOND

    def water_late(self, entry: LogEntry) -> bool:
        return entry.at > self.opened + 1200 * SECOND

    def reach_late(self, entry: LogEntry) -> bool:
        return entry.at > min(self.since + 30 * SECOND, self.opened + 1200 * SECOND)

    def tow_late(self, entry: LogEntry) -> bool:
        return entry.at > min(self.since + 180 * SECOND, self.opened + 1200 * SECOND)
