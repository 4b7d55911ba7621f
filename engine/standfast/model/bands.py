"""Bands of candidates as meant: which fact tells them apart, and that every candidate is in one and only one."""

import re
from collections.abc import Iterator, Sequence

from standfast.codes import facts as fact_codes
from standfast.codes import scores as codes
from standfast.diagnostic import Label
from standfast.language import syntax
from standfast.language.printer import band_words
from standfast.model import amounts
from standfast.model.candidate import samples
from standfast.model.patterns import choice, once
from standfast.model.rules import Band, Score, Test
from standfast.model.scope import Scope
from standfast.model.standard import Fact
from standfast.quantity import Quantity


def band(scope: Scope, written: syntax.Band) -> Band:
    fact = scope.fact(written.fact)
    test = None
    if fact is not None and written.test is None:
        _choices(scope, fact, written)
    elif fact is not None and written.test is not None:
        test = _test(scope, fact, written, written.test)
    return Band(written.fact.text, tuple(name.text for name in written.choices), test, band_words(written))


def _choices(scope: Scope, fact: Fact, written: syntax.Band) -> None:
    if not fact.choices:
        scope.refuse(fact_codes.NO_CHOICES_OF_BAND, written.span, name=fact.name)
        return
    for name in written.choices:
        choice(scope, fact, name)
    once(scope, written.choices)


def _test(scope: Scope, fact: Fact, written: syntax.Band, test: syntax.Test) -> Test | None:
    if fact.unit is None:
        facts = {"name": fact.name, "choices": ", ".join(fact.choices)}
        scope.refuse(fact_codes.NO_AMOUNT_OF_CHOICES, written.fact.span, **facts)
        return None
    if test.of is not None:
        scope.refuse(codes.SHARE, test.span, words=f"for {band_words(written)}")
        return None
    if fact.is_number:
        amounts.whole(scope, test)
    return amounts.test(scope, test, fact.unit.dimension, heading=fact.heading)


def path_part(band: Band) -> str:
    """`age_from_30_to_39`."""
    return re.sub(r"[^a-z0-9]+", "_", band.words)


def check(scope: Scope, name: str, written: Sequence[syntax.Score], tables: Sequence[Score]) -> None:
    """Refuse tables of one clause of which a candidate has none, or two."""
    first = written[0]
    for line, table in zip(written, tables, strict=True):
        if len(tables) > 1 and (table.band is None or tables[0].band is None):
            if line is not first:
                scope.refuse(codes.SCORE_TWICE, line.span, Label(first.span, "the first one"), name=name)
        elif table.band is not None and tables[0].band is not None and _differ(scope, table.band, tables[0].band):
            facts = {"name": name, "fact": table.band.fact, "first": tables[0].band.fact}
            scope.refuse(codes.TWO_FACTS, line.span, Label(first.span, "the first one"), **facts)
    bands = [table.band for table in tables if table.band is not None]
    fact = scope.facts.get(bands[0].fact) if bands else None
    known = fact is not None and all(band.choices or band.test is not None for band in bands)
    if fact is not None and known and len(bands) == len(tables) and len({band.fact for band in bands}) == 1:
        _partition(scope, name, fact, written, bands)


def _differ(scope: Scope, one: Band, other: Band) -> bool:
    """Whether they are of two facts, both declared."""
    return one.fact != other.fact and {one.fact, other.fact} <= scope.facts.keys()


def _partition(
    scope: Scope, name: str, fact: Fact, written: Sequence[syntax.Score], bands: Sequence[Band]
) -> None:
    """Refused once each: a candidate without a table, and each table that has one of another's."""
    told: set[int] = set()
    for value in _values(fact, bands):
        having = [number for number, band in enumerate(bands) if band.holds(value)]
        whom = f"{fact.name} {value}"
        if not having and -1 not in told:
            told.add(-1)
            scope.refuse(codes.NO_TABLE, written[-1].span, name=name, whom=whom, fact=fact.name)
        for second in having[1:]:
            if second not in told:
                told.add(second)
                also = Label(written[having[0]].span, "the other one")
                scope.refuse(codes.TWO_TABLES, written[second].span, also, whom=whom, other=bands[having[0]].words)


def _values(fact: Fact, bands: Sequence[Band]) -> Iterator[Quantity | str]:
    """Each choice; or each end of a band, and what lies between."""
    if fact.unit is None:
        yield from fact.choices
        return
    ends = {end.base / fact.unit.factor for band in bands if band.test is not None for end in band.test.ends()}
    yield from sorted(samples(fact, sorted(ends)), key=lambda value: value.base)
