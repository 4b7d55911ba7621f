"""No number of a finding is given twice."""

from collections import Counter
from importlib import import_module
from pkgutil import iter_modules

import standfast.codes
from standfast.codes import CODES, Code


def test_every_number_is_given_once() -> None:
    modules = [import_module(f"standfast.codes.{each.name}") for each in iter_modules(standfast.codes.__path__)]
    given = [code for module in modules for code in vars(module).values() if isinstance(code, Code)]
    numbers = Counter(code.number for code in given)
    assert [number for number, times in numbers.items() if times > 1] == []
    assert set(numbers) == set(CODES)
