from random import Random

from standfast.report.lines import WIDTH, folded, unbroken

_PARTS = ("a", "bb", "word", "- ", "  ", " ", "\t", "\n", "é", "長い", "`kept so`", "\u2003", "x" * 9)


def test_a_text_that_fits_is_laid_out_as_one_that_does_not() -> None:
    """What is put before it, and folded off again, changes nothing of it."""
    rng = Random("lines")
    for _ in range(3000):
        text = "".join(rng.choices(_PARTS, k=rng.randrange(1, 12))).strip()
        text = unbroken(text) if rng.random() < 0.2 else text
        if not text or len(text) > 60:
            continue
        before = "w" * WIDTH
        first, *rest = folded(f"{before} {text}", hanging=4)
        assert first == before
        assert rest == folded(text, 4)
