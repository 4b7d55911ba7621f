"""Scores and grades, in one sentence each."""

from standfast.model.rules import Band, Limit, Score, ScoreRow
from standfast.model.standard import Grade, Standard
from standfast.report.brief import figures
from standfast.report.brief.rules import lost
from standfast.report.brief.setting import Setting
from standfast.report.brief.spoken import listed, name, tested
from standfast.report.lines import safe


def score(rule: Score, setting: Setting) -> str:
    """What is measured, the rows from the top, and what becomes of the rest."""
    shared = None if rule.figure is None else figures.phrase(rule.figure, setting)
    rows = "; ".join(_row(row, "it" if shared else figures.phrase(row.figure, setting)) for row in rule.rows)
    what = "" if rule.band is None else f" to candidates with {_band(rule.band)}"
    what += f" for {shared}" if shared else ""
    what += "" if rule.rounding is None else f", {figures.rounded(rule.rounding)}"
    first = f"; the first of these that fits counts: {rows}; " if rows else ": "
    return f"Points{what}, given at {setting.completion()}{first}otherwise {_last(rule, setting)}."


def _band(band: Band) -> str:
    which = listed([name(each) for each in band.choices], "or") if band.test is None else tested(band.test)
    return f"{name(band.fact)} {which}"


def _row(row: ScoreRow, what: str) -> str:
    return f"{_points(row.points)} if {what} is {tested(row.test)}"


def _last(rule: Score, setting: Setting) -> str:
    return lost(setting) if rule.otherwise is None else _points(rule.otherwise)


def _points(number: int) -> str:
    return f"{number} point" if number == 1 else f"{number} points"


def short(rule: Score) -> str:
    """The same in few words, for a picture."""
    rows = [f"{figures.short_figure(row.figure)} {tested(row.test)}: {row.points}" for row in rule.rows]
    last = "fails" if rule.otherwise is None else str(rule.otherwise)
    first = "points" if rule.rounding is None else f"points, {figures.rounded(rule.rounding)}"
    first += "" if rule.band is None else f", for {_band(rule.band)}"
    return f"{first}: {'; '.join((*rows, f'otherwise {last}'))}"


def grade(standard: Standard, each: Grade, limit: Limit, setting: Setting) -> str:
    """One limit of a grade, and what it is for."""
    title = "" if each.title is None else f" (“{safe(each.title)}”)"
    lowest = each is standard.grades[-1]
    then = "if it is not, the test ends NO-GO" if lowest else "if it is not, a lower grade may be given"
    what = figures.phrase(limit.figure, setting)
    asks = f"{what} must be {tested(limit.test)} when every event is passed"
    return f"For the grade “{name(each.name)}”{title}, {asks}; {then}."
