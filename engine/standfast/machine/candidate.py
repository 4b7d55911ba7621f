"""The machine of a standard for one candidate."""

from standfast.machine.compile import compile_standard
from standfast.machine.parts import Machine
from standfast.model.candidate import specialised
from standfast.model.standard import Facts


def for_candidate(machine: Machine, facts: Facts) -> Machine:
    """The machine for a candidate of whom all is stated that is needed; the same one where nothing is asked."""
    standard = machine.standard
    if not standard.facts:
        return machine
    asked = {fact.name: facts[fact.name] for fact in standard.facts if fact.name in facts}
    key = tuple(asked.items())
    if key not in machine.of_candidates:
        machine.of_candidates[key] = compile_standard(specialised(standard, asked))
    return machine.of_candidates[key]
