"""Codes of meaning for the best of several attempts: M34x."""

from standfast.codes.code import Code

NOT_ONE_FIGURE = Code(
    "M340",
    "best by no one figure",
    "`{figure}` is every value by itself, and an attempt is compared by one figure",
    ("write `largest of`, `smallest of`, `last of`, `total of` or `time`",),
    "The attempts that end GO are put in order by one figure each.",
)
BEST_WITHOUT_START = Code(
    "M341",
    "best of attempts that begin by themselves",
    "`{event}` takes the best of its attempts and has no start mark",
    ("give it one: `start on go`",),
    "After an attempt that ends GO the event stays open for another try. Without a start mark the next try would begin at "
    "once, and the candidate could not stop at a good one.",
)
OUT_WITHOUT_BEST = Code(
    "M343",
    "`out` where no other try follows",
    "`{words}` stands in `{event}`, which does not take the best of its attempts",
    ("write `best by` and a figure in the event, or `fail on` instead of `out on`",),
    "`out on` says that no other try follows. An event without `best by` is over with the first attempt that ends GO.",
)
OUT_BY_START = Code(
    "M344",
    "one mark for another try and for no other try",
    "`{mark}` begins another try at `{event}` and says that none follows",
    ("give one of them a mark of its own",),
    "Between two tries an entry either begins the next one or says that there is none.",
)
ONE_START_FOR_TWO = Code(
    "M342",
    "one mark for another try and the next event",
    "`{mark}` begins another try at `{event}` and the event after it",
    ("give the later event a start mark of its own",),
    "The later event's start mark closes an event that takes the best of its attempts, so it must be told from that of "
    "another try.",
)
