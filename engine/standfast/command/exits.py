"""What the command line ends with, named once."""

from enum import IntEnum


class Mistake(Exception):
    """A command that asks for what cannot be; the words say why."""


class Exit(IntEnum):
    NOTHING_TO_OBJECT = 0
    OBJECTION = 1  # a verdict other than GO, a close call, a doubt that is not accepted
    ERROR = 2  # an error was reported, whatever else was
    INTERRUPTED = 130  # stopped from the keyboard
    CLOSED_PIPE = 141  # whoever read the output went away
