"""Mistakes planted in the shipped standards are reported; the standards as they are have nothing unaccepted."""

import pytest
from attrs import evolve
from trials.manuscript import SHIPPED, untouched
from trials.planted import planted
from trials.planting import PLANTERS

QUICK = SHIPPED


def test_fifty_plants_are_reported() -> None:
    kinds = [*PLANTERS, *PLANTERS][:50]
    plants = [planted(f"test {number}", QUICK, [kind]) for number, kind in enumerate(kinds)]
    missed = [str(plant) for plant in plants if not plant.reported]
    assert not missed, missed[0]


@pytest.mark.parametrize("name", SHIPPED)
def test_nothing_is_unaccepted_on_an_untouched_standard(name: str) -> None:
    assert untouched(name, whole=True) == ()


def test_a_mistake_that_proof_does_not_see_is_missed() -> None:
    plant = planted("test", QUICK, ["time limits lifted"])
    assert plant.reported
    assert not evolve(plant, found=untouched(plant.name, whole=False)).reported
