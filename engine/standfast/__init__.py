"""Practical tests as rule files, session logs replayed through them, verdicts with reasons.

The public names are loaded when they are first asked for.
"""

from importlib import import_module

TYPE_CHECKING = False  # as in `typing`, which takes longer to load than all that is here
if TYPE_CHECKING:
    from standfast.diagnostic import Diagnostic, Severity
    from standfast.log.entry import SessionLog
    from standfast.model.standard import Standard
    from standfast.pipeline import grade, load_log, load_standard
    from standfast.source import Source, Span
    from standfast.verdict import Outcome, Reason, Verdict

__version__ = "0.1.0"

_HOMES = {
    "Diagnostic": "diagnostic",
    "Outcome": "verdict",
    "Reason": "verdict",
    "SessionLog": "log.entry",
    "Severity": "diagnostic",
    "Source": "source",
    "Span": "source",
    "Standard": "model.standard",
    "Verdict": "verdict",
    "grade": "pipeline",
    "load_log": "pipeline",
    "load_standard": "pipeline",
}

__all__ = [
    "Diagnostic",
    "Outcome",
    "Reason",
    "SessionLog",
    "Severity",
    "Source",
    "Span",
    "Standard",
    "Verdict",
    "grade",
    "load_log",
    "load_standard",
]


def __getattr__(name: str) -> object:
    if name not in _HOMES:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    return getattr(import_module(f"{__name__}.{_HOMES[name]}"), name)


def __dir__() -> list[str]:
    return sorted([*globals(), *_HOMES])
