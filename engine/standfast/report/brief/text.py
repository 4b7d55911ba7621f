"""The pages as plain text, in lines of at most 80 columns where words allow it."""

from collections.abc import Iterable, Sequence

from standfast.model.standard import Standard
from standfast.report.brief.outline import Outline, Part, Said, outline
from standfast.report.brief.page import Page, tries_shown
from standfast.report.brief.setting import Voice
from standfast.report.brief.sketch import pieces
from standfast.report.lines import folded

_BOX = "[ ]"
_BLANK = "_" * 8
_LINE = "_" * 40
_DEEPEST = 40


def page_text(standard: Standard, page: Page) -> str:
    """One page, with a closing line end."""
    match page:
        case Page.CANDIDATE:
            lines = _candidate(outline(standard, Voice.CANDIDATE))
        case Page.GRADER:
            lines = _grader(outline(standard, Voice.GRADER))
        case Page.PICTURE:
            lines = _picture(standard)
    return "\n".join(lines) + "\n"


def _head(said: Outline, page: Page) -> list[str]:
    issued = f"{page.title}. Edition {said.edition}, in force from {said.in_force}."
    lines = [*folded(said.title.upper()), *folded(issued)]
    if said.authority is not None:
        lines += folded(f"Issued by {said.authority}")
    lines += ["", "CAUTION", *_points((*said.cautions, *said.usual))]
    return lines


def _foot(said: Outline) -> list[str]:
    return ["", *folded(f"Made from {said.name}, edition {said.edition}, digest {said.digest[:12]}.")]


def _points(points: Iterable[str], indent: int = 2) -> list[str]:
    return [line for point in points for line in folded(f"- {point}", indent, hanging=2)]


def _quoting(said: Said) -> str:
    return said.text if said.quoted is None else f"{said.text} (“{said.quoted}”)"


def _section(title: str, points: Sequence[str]) -> list[str]:
    return ["", title, *_points(points)] if points else []


# --- the candidate's briefing ------------------------------------------------------------------------------


def _candidate(said: Outline) -> list[str]:
    lines = _head(said, Page.CANDIDATE)
    lines += _section("GUIDANCE", said.guidance)
    lines += _section("THE TEST", said.course)
    lines += _section("WHAT MUST HOLD BEFORE IT BEGINS", [_quoting(each) for each in said.conditions])
    lines += _section("WHAT HOLDS AT ANY TIME", [_quoting(each) for each in said.always])
    for event in said.events:
        lines += [
            "",
            *folded(f"{event.number} {event.name}".upper() + (f": {event.title}" if event.title else "")),
        ]
        lines += _points(each for each in (event.tries, event.carry_on) if each)
        lines += _points([f"It must hold: {_quoting(each)}" for each in event.conditions])
        lines += _part_lines(event, 2)
        for part in event.parts:
            for inner in part.walk():
                title = f": {inner.title}" if inner.title else ""
                lines += ["", *folded(f"{inner.number} {inner.name}{title}", 2), *_part_lines(inner, 4)]
    return lines + _foot(said)


def _part_lines(part: Part, indent: int) -> list[str]:
    lines = [line for text in part.guidance for line in folded(text, indent, hanging=0)]
    lines += folded(f"{part.beginning.text} {part.goal.text}", indent, hanging=0)
    rules = (*part.pauses, *part.rules)
    for title, chosen in (
        ("What fails you:", [each for each in rules if each.fails]),
        ("What else counts:", [each for each in rules if not each.fails]),
    ):
        if chosen:
            lines += [" " * indent + title, *_points(map(_quoting, chosen), indent + 2)]
    return lines


# --- the grader's sheet ------------------------------------------------------------------------------------


def _grader(said: Outline) -> list[str]:
    lines = _head(said, Page.GRADER)
    lines += ["", *(f"{field:11}{_LINE}" for field in ("Candidate", "Session", "Place", "Date", "Grader"))]
    lines.append(f"{'Sheet':11}{_BLANK} of {_BLANK}")
    lines += _section("GUIDANCE", said.guidance)
    lines += _section("THE TEST", said.course)
    if said.conditions:
        lines += ["", "BEFORE IT BEGINS", *_conditions(said.conditions)]
    lines += _section("WHAT IS LOGGED", [f"`{each.name}`: {each.text}" for each in said.marks])
    if said.always:
        lines += ["", "AT ANY TIME", *_tasks(said.always, 1)]
    for event in said.events:
        shown = tries_shown(event)
        lines += [
            "",
            *folded(f"{event.number} {event.name}".upper() + (f": {event.title}" if event.title else "")),
        ]
        lines += _points(each for each in (event.tries, event.carry_on, *event.guidance) if each)
        lines += _points(each.text for each in event.read)
        lines += _conditions(event.conditions)
        lines += _tasks(event.tasks, shown)
        for part in event.parts:
            for inner in part.walk():
                title = f": {inner.title}" if inner.title else ""
                lines += ["", *folded(f"{inner.number} {inner.name}{title} (`{inner.path}`)", 2)]
                lines += _points((*inner.guidance, *(each.text for each in inner.read)), 4)
                lines += _tasks(inner.tasks, shown)
                lines += [] if inner.parts else _blanks(shown, f"GO {_BOX} NO-GO {_BOX}")
        ending = f"GO {_BOX}  NO-GO {_BOX}" + (f"  halted {_BOX}" if event.halts else "")
        lines += ["", *(f"  TRY {number}: {ending}" for number in range(1, shown + 1))]
        lines += [f"  EVENT {event.number}: GO {_BOX}  NO-GO {_BOX}  tries used {_BLANK}"]
    outcomes = "  ".join(f"{word} {_BOX}" for word in said.outcomes)
    lines += ["", f"WHOLE TEST: {outcomes}", "", "SIGNED"]
    lines += [f"  {who:18}{_LINE}" for who in ("Grader", "Second grader", "Candidate", "Date and time")]
    lines += _section("EXAMPLES THE STANDARD GIVES", said.examples)
    lines += _section("WHAT THE AUTHOR MEANS AS IT STANDS", said.acceptances)
    return lines + _foot(said)


def _conditions(conditions: Iterable[Said]) -> list[str]:
    lines = []
    for each in conditions:
        lines += folded(f"- {_quoting(each)}", 2, hanging=2)
        lines.append(f"    found {_BLANK}  holds {_BOX}  does not hold {_BOX}")
    return lines


def _tasks(rules: Iterable[Said], shown: int) -> list[str]:
    lines = []
    for each in rules:
        lines += folded(f"{each.task.value}: {_quoting(each)}", 4, hanging=2)
        lines += _blanks(shown, _BLANK)
    return lines


def _blanks(shown: int, blank: str) -> list[str]:
    fields = [f"try {number} {blank}" for number in range(1, shown + 1)]
    return folded(
        "  ".join(field.replace(" ", "\u00a0") for field in (*fields, f"remarks {_BLANK * 2}")), 6, hanging=0
    )


# --- the picture -------------------------------------------------------------------------------------------


def _picture(standard: Standard) -> list[str]:
    said = outline(standard, Voice.CANDIDATE)
    lines = _head(said, Page.PICTURE)
    for piece in pieces(standard):
        lines.append("")
        for indent, text in piece.lines():
            lines += folded(text, min(2 * indent, _DEEPEST), hanging=2)
    return lines + _foot(said)
