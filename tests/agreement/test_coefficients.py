"""Kappa and alpha: the worked examples of the papers, random tables by the formulas, and where there is none.

Sources, each beside its values: Cohen, Educational and Psychological Measurement 20 (1960) 37; Fleiss,
Psychological Bulletin 76 (1971) 378; Krippendorff, "Computing Krippendorff's Alpha-Reliability" (2011).
"""

from collections import Counter
from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction
from itertools import combinations
from random import Random

import pytest

from standfast.agreement import coefficients
from standfast.agreement.coefficients import Agreement, Coefficient, Ratings, Undefined, agreement


def columns(*graders: str) -> Ratings:
    """A row of categories for each grader, `.` where one did not grade."""
    rows = [dict(zip("ABCDEFGHIJKLMN", each, strict=False)) for each in zip(*graders, strict=True)]
    return [{grader: category for grader, category in row.items() if category != "."} for row in rows]


def counted(*matrix: Sequence[int]) -> Ratings:
    """Two graders by how often the first gave row and the second gave column."""
    cells = [(row, column, n) for row, line in enumerate(matrix) for column, n in enumerate(line)]
    return [{"A": str(row), "B": str(column)} for row, column, n in cells for _ in range(n)]


def of(ratings: Ratings) -> Agreement:
    return agreement(None, sorted({grader for each in ratings for grader in each}), ratings)


def cohen(ratings: Ratings) -> str | None:
    (one,) = of(ratings).cohen
    return one.value


@pytest.mark.parametrize(
    ("matrix", "kappa"),
    [
        # Cohen 1960: po .70, pe .41
        (([88, 14, 18], [10, 40, 10], [2, 6, 12]), "0.491525"),
        # two by two, as statistics text books have it: po .70, pe .50
        (([20, 5], [10, 15]), "0.400000"),
        # the same agreement, po .60, and different kappas
        (([45, 15], [25, 15]), "0.130435"),
        (([25, 35], [5, 35]), "0.259259"),
    ],
)
def test_cohens_kappa_of_worked_examples(matrix: tuple[list[int], ...], kappa: str) -> None:
    assert cohen(counted(*matrix)) == kappa


def test_fleiss_kappa_of_the_worked_example() -> None:
    # Fleiss 1971, the method; fourteen raters, ten subjects, five categories: P-bar 0.378022, Pe 0.212755
    table = (
        "0 0 0 0 14; 0 2 6 4 2; 0 0 3 5 6; 0 3 9 2 0; 2 2 8 1 1;"
        " 7 7 0 0 0; 3 2 6 3 0; 2 5 3 2 2; 6 5 2 1 0; 0 2 2 3 7"
    )
    subjects = [[int(n) for n in row.split()] for row in table.split(";")]
    given = ["".join(str(category) * n for category, n in enumerate(row)) for row in subjects]
    one = of(columns(*("".join(row) for row in zip(*given, strict=True)))).fleiss
    assert (one.value, one.over, len(one.graders)) == ("0.209931", 10, 14)


@pytest.mark.parametrize(
    ("graders", "alpha"),
    [
        # Krippendorff 2011, four observers and twelve units with values missing: nominal alpha
        (("12332141 2...", "12332241 25.3", ".3332342 251.", "12332441 251."), "0.743421"),
        # the same, two observers, binary
        (("0100000010", "1110010000"), "0.095238"),
        # the same, two observers, nominal
        (("aabbdcccedda", "babbbccceddd"), "0.691964"),
    ],
)
def test_krippendorffs_alpha_of_worked_examples(graders: tuple[str, ...], alpha: str) -> None:
    assert of(columns(*(each.replace(" ", "") for each in graders))).alpha.value == alpha


def test_alpha_goes_by_the_units_that_two_rated() -> None:
    # Krippendorff 2011, the same four observers: the twelfth unit has one value alone and is left out
    one = of(columns("12332141 2...".replace(" ", ""), "12332241253.", ".3332342251.", "12332441251."))
    assert (one.candidates, one.alpha.over) == (11, 11)


# --- by the formulas ------------------------------------------------------------------------------------------


def rounded(value: Fraction) -> Decimal:
    return Decimal(value.numerator) / Decimal(value.denominator)


def close(one: Coefficient, value: Fraction) -> bool:
    return one.value is not None and abs(Decimal(one.value) - rounded(value)) < Decimal("0.000001")


def beyond_chance(observed: Fraction, expected: Fraction) -> Fraction:
    return (observed - expected) / (1 - expected)


def cohen_by_formula(ratings: Ratings) -> Fraction:
    n = len(ratings)
    first, second = Counter(each["A"] for each in ratings), Counter(each["B"] for each in ratings)
    expected = Fraction(sum(first[c] * second[c] for c in first), n * n)
    return beyond_chance(Fraction(sum(each["A"] == each["B"] for each in ratings), n), expected)


def fleiss_by_formula(ratings: Ratings) -> Fraction:
    n, raters = len(ratings), len(ratings[0])
    counts = [Counter(each.values()) for each in ratings]
    observed = Fraction(sum(k * (k - 1) for each in counts for k in each.values()), n * raters * (raters - 1))
    total = sum(counts, Counter[str]())
    return beyond_chance(observed, Fraction(sum(k * k for k in total.values()), (n * raters) ** 2))


def alpha_by_formula(ratings: Ratings) -> Fraction:
    units = [Counter(each.values()) for each in ratings if len(each) > 1]
    observed = sum(
        (Fraction(sum(u[a] * u[b] for a in u for b in u if a != b), u.total() - 1) for u in units), Fraction(0)
    )
    total = sum(units, Counter[str]())
    pairs = sum(total[a] * total[b] for a in total for b in total if a != b)
    return 1 - observed * (total.total() - 1) / pairs


def test_random_tables_by_the_formulas() -> None:
    rng = Random("tables")
    compared = Counter[str]()
    for _ in range(300):
        graders = "ABCD"[: rng.randint(2, 4)]
        holes = rng.choice((0, 0.2))
        ratings = [
            {grader: rng.choice(("GO", "GO", "NO-GO", "VOID")) for grader in graders if rng.random() >= holes}
            for _ in range(rng.randint(2, 12))
        ]
        found = agreement(None, graders, ratings)
        by_all = [each for each in ratings if len(each) == len(graders)]
        if found.fleiss.value is not None:
            compared["fleiss"] += 1
            assert close(found.fleiss, fleiss_by_formula(by_all))
        if found.alpha.value is not None:
            compared["alpha"] += 1
            assert close(found.alpha, alpha_by_formula(ratings))
        for pair, one in zip(combinations(graders, 2), found.cohen, strict=True):
            both = [{"A": each[pair[0]], "B": each[pair[1]]} for each in ratings if set(pair) <= set(each)]
            assert (one.graders, one.over) == (pair, len(both))
            if one.value is not None:
                compared["cohen"] += 1
                assert close(one, cohen_by_formula(both))
        assert found.alike == sum(len(set(each.values())) == 1 for each in ratings if len(each) > 1)
        for one in (*found.cohen, found.fleiss, found.alpha):
            assert (one.value is None) == (one.why is not None) and "nan" not in str(one)
    assert min(compared.values()) > 200


# --- where there is none --------------------------------------------------------------------------------------


def every(found: Agreement) -> set[tuple[str | None, Undefined | None, str | None]]:
    return {(one.value, one.why, one.category) for one in (*found.cohen, found.fleiss, found.alpha)}


def test_nothing_varies() -> None:
    assert every(of(columns("ggg", "ggg"))) == {(None, Undefined.NOTHING_VARIES, "g")}
    assert of(columns("ggg", "ggg")).alike == 3


def test_one_candidate_is_too_few() -> None:
    assert every(of(columns("g", "n"))) == {(None, Undefined.TOO_FEW, None)}


def test_no_candidate_of_both() -> None:
    found = of(columns("gn..", "..ng"))
    assert every(found) == {(None, Undefined.TOO_FEW, None)}
    assert (found.candidates, found.alike) == (0, 0)


def test_what_is_missing_is_left_out_of_each_coefficient_by_its_own_rule() -> None:
    found = of(columns("gnggn", "gnng.", "gn..n"))
    assert [(one.graders, one.over) for one in found.cohen] == [(("A", "B"), 4), (("A", "C"), 3), (("B", "C"), 2)]
    assert (found.fleiss.over, found.alpha.over) == (2, 5)
    assert [one.value for one in found.cohen] == ["0.500000", "1.000000", "1.000000"]


def test_complete_disagreement_is_a_number() -> None:
    assert cohen(columns("gn", "ng")) == "-1.000000"
    assert cohen(columns("gg", "nn")) == "0.000000"


def test_without_the_library_it_is_said(monkeypatch: pytest.MonkeyPatch) -> None:
    assert coefficients.is_installed()
    monkeypatch.setattr(coefficients, "_task", lambda data: None)
    assert not coefficients.is_installed()
    assert every(of(columns("gn", "ng"))) == {(None, Undefined.NO_LIBRARY, None)}
