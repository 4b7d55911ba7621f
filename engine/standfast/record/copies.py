"""The standards and logs of a register as they were graded: from the copies, held against the files themselves."""

import os
from pathlib import Path

from standfast.codes import Code
from standfast.codes import record as codes
from standfast.diagnostic import Diagnostic, Label
from standfast.record.entry import VerdictRecord, digest_of
from standfast.record.files import log_copy, standard_copy, why_not
from standfast.record.reading import Held, short
from standfast.source import Source, Span
from standfast.values import define, field, frozen


@frozen
class Evidence:
    """The bytes that were graded, None where neither copy nor file has them any more, and what is wrong with
    the two. `missing` is the file where it no longer lies where it was, which is no fault.
    """

    data: bytes | None
    found: tuple[Diagnostic, ...]
    missing: str | None


@define
class Copies:
    """Looks at each copy and file once; what is wrong with it is told of the first record that names it."""

    _folder: Path
    _looked_at: dict[tuple[str, str | None], bytes | None] = field(factory=dict)

    def standard(self, held: Held, record: VerdictRecord) -> Evidence:
        of = record.standard
        what = f"the standard `{of.name}`, edition `{of.edition}`"
        return self._evidence(held, "standard", what, standard_copy(of.bytes_digest), of.bytes_digest, of.file)

    def log(self, held: Held, record: VerdictRecord) -> Evidence:
        what = f"the log of session `{record.session}`"
        return self._evidence(held, "log", what, log_copy(record.log.digest), record.log.digest, record.log.file)

    def _evidence(
        self, held: Held, key: str, what: str, copy_name: str, digest: str, file: str | None
    ) -> Evidence:
        asked = (copy_name, file)
        if asked in self._looked_at:
            return Evidence(self._looked_at[asked], (), None)
        copy, gone = _read(self._folder / copy_name)
        original = None if file is None else _read(self._folder / file)[0]
        copy_place, place = str(self._folder / copy_name), os.path.normpath(self._folder / (file or ""))
        both = ((copy_place, copy), (place, original))
        whole = next(((name, data) for name, data in both if data is not None and digest_of(data) == digest), None)
        found: list[Diagnostic] = []
        beside = Label(held.span(key), "the record")
        facts = {"number": str(held.line), "stated": short(digest), "copy": copy_place}
        if copy is None:
            about = {"what": what, "file": copy_place, "why": gone}
            found.append(Diagnostic(codes.COPY_GONE, None, about, (beside,)))
        elif digest_of(copy) != digest:
            about = facts | {"what": what, "file": copy_place, "found": short(digest_of(copy))}
            found.append(_changed(codes.COPY_CHANGED, copy_place, copy, whole, about, beside))
        if original is not None and digest_of(original) != digest:
            about = facts | {"what": f"`{place}`", "found": short(digest_of(original))}
            found.append(_changed(codes.FILE_CHANGED, place, original, whole, about, beside))
        self._looked_at[asked] = None if whole is None else whole[1]
        return Evidence(self._looked_at[asked], tuple(found), file if original is None else None)


def _read(path: Path) -> tuple[bytes | None, str]:
    """The bytes, or why there are none."""
    try:
        return path.read_bytes(), ""
    except OSError as error:
        return None, why_not(error)
    except ValueError:
        return None, "no file can have such a name"


def _changed(
    code: Code, name: str, data: bytes, whole: tuple[str, bytes] | None, facts: dict[str, str], record: Label
) -> Diagnostic:
    """With the first character that differs from what was graded, and that, where it is still to be had."""
    if whole is None:
        return Diagnostic(code, None, facts, (record,))
    as_graded = Label(_first_difference(*whole, data), "what was graded")
    return Diagnostic(code, _first_difference(name, data, whole[1]), facts, (as_graded, record))


def _first_difference(name: str, data: bytes, other: bytes) -> Span:
    """The character with the first byte that is not as in the other; the end where there is no more of it."""
    at = next((i for i, (a, b) in enumerate(zip(data, other, strict=False)) if a != b), min(len(data), len(other)))
    source = Source(name, data.decode("utf-8", "replace"))
    start = len(data[:at].decode("utf-8", "ignore"))
    return source.span(start, min(start + 1, len(source.text)))
