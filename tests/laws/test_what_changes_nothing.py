"""Laws of the standard as meant: names, sentences, guidance and the order of lines decide nothing."""

from collections.abc import Callable, Iterator, Sequence
from random import Random
from typing import Any

import attrs
import pytest
from attrs import evolve
from plausible_logs import random_log
from trials.pairs import legal_standard

from standfast.language import syntax
from standfast.language.reader import read
from standfast.later import Later
from standfast.log.entry import SessionLog
from standfast.machine.compile import compile_standard
from standfast.model.resolve import resolve
from standfast.model.standard import Standard
from standfast.replay import replay
from standfast.source import Source, Span
from standfast.verdict import Reason, Verdict

SEEDS = [f"nothing {number}" for number in range(20)]
RuleLine = syntax.TimeLimit | syntax.CountLimit | syntax.SilenceLimit | syntax.FigureLimit | syntax.Fault
_ONE_KIND: dict[type, type] = {
    syntax.CountLimit: syntax.TimeLimit,
    syntax.SilenceLimit: syntax.TimeLimit,
    syntax.FigureLimit: syntax.TimeLimit,
    syntax.Otherwise: syntax.ScoreRow,
    syntax.Out: syntax.Fault,
    syntax.Rest: syntax.Block,
}


def subject(rng: Random) -> tuple[syntax.Standard, Standard, list[SessionLog]]:
    """A random standard with a limit or a fault and without cases, as written and as meant, and logs for it."""
    while True:
        text, machine, _ = legal_standard(rng)
        tree, _ = read(Source("random", text))
        assert tree is not None
        tree = evolve(tree, blocks=tuple(block for block in tree.blocks if not isinstance(block, syntax.Case)))
        if any(isinstance(line, RuleLine) for line in _all_lines(tree.blocks)):
            return tree, meant(tree), [random_log(rng, machine) for _ in range(4)]


def meant(tree: syntax.Standard) -> Standard:
    standard, found = resolve(tree)
    assert standard is not None, [d.message for d in found]
    return standard


def graded(standard: Standard, logs: Sequence[SessionLog]) -> tuple[Verdict, ...]:
    machine = compile_standard(standard)
    return tuple(verdict for log in logs for verdict in replay(machine, log))


def everywhere(tree: syntax.Standard, change: Callable[[Any], Any]) -> syntax.Standard:
    """The tree with the lines of every block changed, those of inner blocks first."""

    def inside(line: Any) -> Any:
        if isinstance(line, syntax.Block | syntax.Always | syntax.Conditions | syntax.Marks):
            return evolve(line, lines=change(tuple(inside(each) for each in line.lines)))
        return line

    blocks = change(tuple(inside(block) for block in tree.blocks))
    return evolve(tree, header=change(tree.header), blocks=blocks)


def one_rule(
    rng: Random, tree: syntax.Standard, change: Callable[[RuleLine], RuleLine]
) -> tuple[syntax.Standard, RuleLine]:
    """The tree with one of its limits and faults changed, and the one as it was."""
    chosen = rng.choice([line for line in _all_lines(tree.blocks) if isinstance(line, RuleLine)])
    changed = everywhere(tree, lambda lines: tuple(change(each) if each is chosen else each for each in lines))
    return changed, chosen


def _all_lines(lines: Sequence[Any]) -> Iterator[Any]:
    for line in lines:
        yield line
        if isinstance(line, syntax.Block | syntax.Always):
            yield from _all_lines(line.lines)


def rewritten(value: Any, change: Callable[[Any], Any]) -> Any:
    """A verdict with every value inside it changed, the inner first."""
    if isinstance(value, tuple | Later):
        return tuple(rewritten(each, change) for each in value)
    if attrs.has(type(value)):
        return change(
            evolve(value, **{a.name: rewritten(getattr(value, a.name), change) for a in attrs.fields(type(value))})
        )
    return value


def under(standard: Standard) -> Callable[[Any], Any]:
    """Puts a verdict under another text of the standard: only the digest of it can differ."""
    return lambda value: evolve(value, standard_digest=standard.digest) if isinstance(value, Verdict) else value


def nowhere(line: Any) -> Span:
    return Span(line.span.source, line.span.start, line.span.start)


@pytest.mark.parametrize("seed", SEEDS)
def test_the_order_of_lines_says_nothing(seed: str) -> None:
    rng = Random(seed)
    tree, standard, logs = subject(rng)
    shuffled = meant(everywhere(tree, lambda lines: _shuffled(rng, lines)))
    assert shuffled == standard
    assert graded(shuffled, logs) == graded(standard, logs)


def _shuffled(rng: Random, lines: tuple[Any, ...]) -> tuple[Any, ...]:
    """The lines in another order, those of one kind, and items and rests, still one after another."""
    kinds = [_ONE_KIND.get(type(line), type(line)) for line in lines]
    waiting = {kind: iter([line for line, its in zip(lines, kinds, strict=True) if its is kind]) for kind in kinds}
    return tuple(next(waiting[kind]) for kind in rng.sample(kinds, len(kinds)))


@pytest.mark.parametrize("seed", SEEDS)
def test_a_label_changes_only_the_path(seed: str) -> None:
    rng = Random(seed)
    tree, standard, logs = subject(rng)
    written, _ = one_rule(rng, tree, lambda line: evolve(line, label=syntax.Name("named_here", nowhere(line))))
    labelled = meant(written)
    paths = {
        old.path: new.path
        for old, new in zip(standard.rules(), labelled.rules(), strict=True)
        if old.path != new.path
    }
    assert [path.rpartition(".")[2] for path in paths.values()] == ["named_here"]
    paths |= {f"{old}.at_most": f"{new}.at_most" for old, new in paths.items()}

    def cited_anew(value: Any) -> Any:
        path = getattr(value, "path", None)
        return evolve(value, path=paths[path]) if path in paths else under(labelled)(value)

    assert graded(labelled, logs) == rewritten(graded(standard, logs), cited_anew)


@pytest.mark.parametrize("seed", SEEDS)
def test_a_sentence_changes_only_what_is_said(seed: str) -> None:
    rng = Random(seed)
    tree, standard, logs = subject(rng)
    written, chosen = one_rule(rng, tree, _with_sentence)
    said = meant(written)
    (path,) = (rule.path for rule in standard.rules() if rule.span.start == chosen.span.start)

    def said_anew(value: Any) -> Any:
        if isinstance(value, Reason) and value.path in (path, f"{path}.at_most"):
            return evolve(value, sentence="said here")
        return under(said)(value)

    assert graded(said, logs) == rewritten(graded(standard, logs), said_anew)


def _with_sentence(line: RuleLine) -> RuleLine:
    sentence = syntax.Text("said here", nowhere(line))
    if isinstance(line, syntax.Fault):
        return evolve(line, consequence=evolve(line.consequence, sentence=sentence))
    return evolve(line, sentence=sentence)


@pytest.mark.parametrize("seed", SEEDS)
def test_guidance_and_acceptances_are_never_judged(seed: str) -> None:
    rng = Random(seed)
    tree, standard, logs = subject(rng)
    guided = meant(
        everywhere(tree, lambda lines: lines if isinstance(lines[0], _ONLY_BLOCKS) else (*lines, *_asides(lines)))
    )
    assert guided.digest != standard.digest
    assert graded(guided, logs) == rewritten(graded(standard, logs), under(guided))


_ONLY_BLOCKS = syntax.Candidate | syntax.Conditions | syntax.Marks | syntax.Always


def _asides(lines: tuple[Any, ...]) -> Iterator[syntax.Line]:
    span = nowhere(lines[0])
    yield syntax.Guidance(span=span, text=syntax.Text("guided here", span))
    yield syntax.Accept(span=span, code=syntax.Name("D601", span), why=syntax.Text("because", span))
