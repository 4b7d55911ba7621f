"""Codes of logs of one session that continue each other, and are graded as one."""

from standfast.codes.code import Code

WITHOUT_ZERO = Code(
    "F524",
    "continued log without a zero",
    "session `{session}` of `{candidate}` is in several logs, and this one does not say when it started",
    ('add the instant of its zero to the header, such as `"started":"2026-04-11T09:00:00+01:00"`',),
    about="Logs that continue each other have a clock each. Only by `started` it is known which came first and how much "
    "time lay between.",
)
AT_THE_SAME_TIME = Code(
    "F525",
    "continued logs at the same time",
    "this log of session `{session}` starts before `{file}`, which it would continue, is over for `{candidate}`",
    ("correct `started`; hold two graders' logs of the same time against each other with `standfast agree`",),
    about="A log continues another one of the same session and candidate if it starts when that is over, at its `end` or "
    "its last entry.",
)
FACTS_DIFFER = Code(
    "F526",
    "continued logs with other facts",
    "{what} of `{candidate}` is {found} in this log and {before} in `{file}`",
    ("correct one of the two, or name two sessions",),
    about="A candidate's facts are stated for the whole session (rule 36 of the rules of meaning), whatever number of "
    "logs it is in. So is a condition that is compared with a fact.",
)
NOBODY_WATCHED = Code(
    "F527",
    "something due while no log was kept",
    "an attempt of `{candidate}` was open when `{file}` was over, and {path} falls due before this log starts",
    ("log in the earlier one how the attempt ended, or until when it was watched, with `end`",),
    about="Between two logs of a session nobody watched. What an attempt asks for by time alone, such as to hold for a "
    "minute, or fails by, such as a deadline, is then not known to have been so.",
)
OTHER_EDITION = Code(
    "F528",
    "continued logs of two editions",
    "this log of session `{session}` was kept under edition `{edition}`, and `{file}` under edition `{before}`",
    ("name the edition of the session in the headers of both",),
    about="A session is graded by one edition. Without one in the header it is the latest in force on the day of "
    "`started`, which may be another from one day to the next.",
)
