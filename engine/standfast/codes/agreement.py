"""Codes of holding the logs of several graders against each other."""

from standfast.codes.code import Code

NOTHING_TO_COMPARE = Code(
    "G601",
    "no candidate with two graders",
    "no candidate of a session is in the logs of two graders",
    ("give the logs of all the graders; each header has its `grader`, and the same session and candidate",),
    about="Logs belong together where they have the same standard, edition, session and candidate. Each is known by the"
    " `grader` of its header, or else by the name of its file.",
)
SAME_GRADER = Code(
    "G602",
    "two logs of one grader on one candidate",
    "grader `{grader}` has a log of candidate `{candidate}` in session `{session}` already, `{file}`; this one is left out",
    ("keep the log that counts, or correct the grader in the header of the other",),
    about="Of each candidate in a session a grader has one log. Where there are two, nothing says which one counts: the"
    " first is taken, and the other left out.",
    severity="doubt",
    about_files=True,
)
BY_ONE_ALONE = Code(
    "G604",
    "candidates in the logs of one grader alone",
    "{who} in session `{session}` under `{standard}`, edition `{edition}`, only by grader `{grader}`",
    ("give the log of another grader, or spell candidate and session alike in the logs of all",),
    about="Logs belong together where standard, edition, session and candidate are the same, letter by letter. Whom one"
    " grader alone has is held against nothing, and counts in no coefficient: a name that is spelled otherwise in one"
    " log is told once for each spelling.",
    severity="doubt",
    about_files=True,
)
NO_LIBRARY = Code(
    "G603",
    "coefficients that cannot be computed here",
    "the package `{package}`, which computes the coefficients, is not installed for this Python",
    ("install it with `pip install 'standfast[agreement]'`, or `pip install {package}`",),
    about="Kappa and alpha are computed by a package that nothing else needs, so it is installed only where it is wanted."
    " Where the logs and verdicts of the graders differ is said without it.",
    severity="advice",
    about_files=True,
)
