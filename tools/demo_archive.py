"""`.venv/bin/python tools/demo_archive.py STANDARD OUT.zip`: an archive of invented logs, kept under one edition.

They are made of the logs that are shipped beside the standard: each is one of these at another pace, with other
measured values, at times with an entry missed or logged twice. Everything comes from the seed: the same archive is
made again anywhere. It is for `standfast compare OLD NEW --archive OUT.zip`.
"""

import argparse
from collections.abc import Iterable, Iterator
from datetime import timedelta
from fractions import Fraction
from pathlib import Path
from random import Random
from zipfile import ZIP_DEFLATED, ZipFile, ZipInfo

from attrs import evolve

from standfast.log.bind import bind
from standfast.log.entry import Entry, RawEntry, SessionLog
from standfast.log.reader import read_log
from standfast.log.writer import log_bytes
from standfast.model.standard import Standard
from standfast.pipeline import grade, load_standard
from standfast.quantity import Quantity
from standfast.source import Source
from standfast.verdict import Outcome

TENTH = 100_000  # microseconds
_MADE = (2026, 1, 1, 0, 0, 0)  # the time that every file of the archive bears


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument(
        "standard", type=Path, metavar="STANDARD", help="a rule file with a folder `logs` beside it"
    )
    parser.add_argument("out", type=Path, metavar="OUT", help="the zip archive to be written")
    parser.add_argument("--logs", type=int, default=2000, help="how many; default: 2000")
    parser.add_argument("--seed", type=int, default=1)
    chosen = parser.parse_args()
    standard, found = load_standard(Source(str(chosen.standard), chosen.standard.read_text(encoding="utf-8")))
    if standard is None:
        parser.error(f"{chosen.standard}: {found[0].message}")
    patterns = list(patterns_of(standard, chosen.standard.parent / "logs"))
    if not patterns:
        parser.error(f"beside {chosen.standard} there is no log that could be one of this edition")
    with ZipFile(chosen.out, "w", ZIP_DEFLATED) as archive:
        for log in logs_like(patterns, standard, chosen.logs, chosen.seed):
            archive.writestr(ZipInfo(f"{log.session}.jsonl", _MADE), log_bytes(log))
    print(f"{chosen.logs} logs of {standard.name}, edition {standard.edition}, in {chosen.out}")
    return 0


def patterns_of(standard: Standard, folder: Path) -> Iterator[tuple[SessionLog, bool]]:
    """The logs of a folder as logs of this edition, without what it does not know; and whether each is GO."""
    facts = {c.name for c in (*standard.conditions, *(c for event in standard.events for c in event.conditions))}
    for path in sorted(folder.glob("*.jsonl")):
        raw, _ = read_log(path.name, path.read_bytes())
        if (
            raw is None
            or raw.header.standard != standard.name
            or len(raw.header.candidates) != 1
            or raw.corrections
        ):
            continue
        known = evolve(
            raw,
            header=evolve(raw.header, edition=None),
            entries=tuple(_known(raw.entries, standard)),
            conditions=tuple(fact for fact in raw.conditions if fact.name in facts),
        )
        log, _ = bind(known, standard)
        if log is not None and log.entries:
            yield log, grade(standard, log)[0].outcome is Outcome.GO


def _known(entries: Iterable[RawEntry], standard: Standard) -> Iterator[RawEntry]:
    """Those of marks that the edition has; of a watch that is read once the first of several readings."""
    last = ""
    for entry in entries:
        mark = standard.mark(entry.mark)
        once = mark is not None and mark.readings is not None and mark.readings.most == 1
        if mark is not None and not (once and entry.mark == last):
            yield entry
        last = entry.mark


def logs_like(
    patterns: list[tuple[SessionLog, bool]], standard: Standard, count: int, seed: int
) -> Iterator[SessionLog]:
    """So many logs, one candidate each; most are like one that is GO, if there is any."""
    passed = [log for log, is_go in patterns if is_go]
    for number in range(1, count + 1):
        rng = Random(f"{seed}/{number}")
        like = rng.choice(passed if passed and rng.random() < 0.8 else [log for log, _ in patterns])
        day = standard.in_force + timedelta(days=rng.randrange(700))
        yield _altered(rng, like, number, f"{day.isoformat()}T09:00:00Z", standard.edition)


def _altered(rng: Random, log: SessionLog, number: int, started: str, edition: str) -> SessionLog:
    pace = rng.randrange(78, 112)  # per cent of the times it was done in
    scale = Fraction(rng.randrange(92, 112), 100)
    candidate, place, before = f"C-{number:04}", 0, 0
    entries: list[Entry] = []
    for entry in log.entries:
        gap = (entry.at - before) * pace * rng.randrange(88, 113) // 10_000
        place, before = place + gap // TENTH * TENTH, entry.at
        value = _measured(rng, entry.value, scale)
        entries.append(evolve(entry, at=place, value=value, candidate=candidate, note=None))
    if rng.random() < 0.06 and len(entries) > 2:
        del entries[rng.randrange(1, len(entries))]
    if rng.random() < 0.06:
        twice = rng.randrange(len(entries))
        entries.insert(twice, entries[twice])
    end = None if log.end is None else place + (log.end - before) // TENTH * TENTH
    return evolve(
        log,
        session=f"{started[:10]}-{number:04}",
        edition=edition,
        candidates=(candidate,),
        facts=dict.fromkeys((candidate,), *log.facts.values()) if log.facts else {},
        entries=tuple(entries),
        end=end,
        started=started,
        zero=None,
    )


def _measured(rng: Random, value: str | Quantity | None, scale: Fraction) -> str | Quantity | None:
    """A value measured otherwise, to the hundredth of its unit; a choice or the name of a round as it was."""
    if not isinstance(value, Quantity) or len(value.parts) > 1:
        return value
    amount = value.parts[0][0] * scale * Fraction(rng.randrange(98, 103), 100)
    return Quantity(((Fraction(round(amount * 100), 100), value.unit),))


if __name__ == "__main__":
    raise SystemExit(main())
