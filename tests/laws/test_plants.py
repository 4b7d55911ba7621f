"""Mistakes planted in the shipped standards are reported; the standards as they are have nothing unaccepted."""

from trials.planted import KINDS, chosen, found_in, grounds, reported

from standfast.diagnostic import Severity


def test_fifty_plants_are_reported() -> None:
    plants = chosen(grounds(), seed=1, count=50)
    assert len(plants) == 50
    assert {kind for kind, _, _ in plants} == set(KINDS)
    missed = [(kind, said) for kind, ground, plant in plants if (said := reported(ground, plant)) is not None]
    assert not missed, missed[0]


def test_nothing_is_unaccepted_on_the_untouched_standards() -> None:
    for ground in grounds():
        found = [f for f in found_in(ground.standard) if f.accepted is None and f.severity is not Severity.ADVICE]
        assert not found, (ground.name, [(f.code.number, f.message) for f in found])
