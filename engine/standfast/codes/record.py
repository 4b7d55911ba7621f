"""Codes of keeping records: of adding to a register, and of what no longer fits in one."""

from standfast.codes.code import Code

NOT_OURS = Code(
    "K601",
    "a register of another program",
    "`{name}` is no register of standfast: it has no line with the schema `{schema}`",
    ("name another folder",),
    about="A folder of records has a file `register.records`. The one that is there was written by something else, and"
    " nothing was added to it or changed in it.",
)
NO_REGISTER = Code(
    "K602",
    "a folder without a register",
    "no register in `{name}`",
    ("name the folder that was given to `standfast grade` with --keep",),
    about="Records are kept in a folder, in a file `register.records`. There is none in this folder.",
)
LOCKED = Code(
    "K603",
    "a register that another program is writing to",
    "`{name}` is being written to by another program, and {seconds} s were not enough to wait for it",
    ("give the command again when the other has ended",),
    about="Only one program at a time adds to a register, so that each record follows the one before it. The lock goes"
    " when the program that holds it ends, however it ends. Nothing was added.",
)
NOT_ADDED_TO = Code(
    "K604",
    "a register whose last record is damaged",
    "nothing was added: the last line of `{name}` is no whole record",
    ("`standfast recheck {command}` says what is wrong; keep further records in another folder",),
    about="A record names the digest of the one before it. Where that one is damaged, a new record would hide it, so"
    " nothing is added.",
)
SET_ASIDE_NOW = Code(
    "K605",
    "a record that was cut short and set aside",
    "the last line of `{name}` was cut short while it was written: {size} bytes, set aside in `{aside}`",
    ("grade that log again, if its record is not in the register",),
    about="A program was stopped while it wrote a record. It had not yet said that the record was kept. What there is of"
    " it was moved to a file of its own before the next record was added.",
    severity="advice",
    about_files=True,
)
CUT_SHORT = Code(
    "K606",
    "a last record that was cut short",
    "the last line has no line end: {why}",
    (
        "{whole} is whole, and need not be made again: the next one added to this folder gives it its line end",
        "{flipped} is whole, but nothing is added behind it: put back the register from a copy",
        "the next record added to this folder sets it aside; grade that log or give that ruling again",
    ),
    about="A record is whole only with its line end. A program that was stopped before that had not yet said that the"
    " record was kept. Where nothing but the line end is missing, the next record that is added puts it there; where"
    " another character stands in its place, the line was damaged, and nothing is added; else the line is set aside.",
    severity="doubt",
    about_files=True,
)
SET_ASIDE = Code(
    "K607",
    "records that were cut short",
    "{count} set aside, cut short while it was written: {files}",
    ("grade its log again, if its record is not in the register",),
    about="A program was stopped while it wrote a record, and the next one set aside what there was of it. It is no"
    " record: nothing had said that it was kept.",
    severity="advice",
    about_files=True,
)
KEPT_BEFORE = Code(
    "K608",
    "a verdict beside one that was kept before",
    "the register in `{folder}` has a verdict already in session `{session}`: {who}",
    ("say which one counts with `standfast ruling`; to look at a log again, grade it without --keep",),
    about="The register has a verdict of the same standard, session and candidate, perhaps with a ruling on it. The new"
    " one was added as well, for nothing is ever taken from a register: a ruling on the one is none on the other, and"
    " nothing says which of the two counts.",
    severity="doubt",
    about_files=True,
)
NOT_A_RECORD = Code(
    "K611",
    "a line that is no record",
    "record {number} cannot be read as it was written: {why}",
    ("put back the register from a copy, and ask who could write to it",),
    about="Each line of a register is one record in one fixed form. This line was changed after it was written, by hand"
    " or by a fault of the disk.",
    severity="doubt",
    about_files=True,
)
CHANGED = Code(
    "K612",
    "a record that was changed",
    "record {number} has the digest {found}, and says {stated}",
    ("put back the register from a copy, and ask who could write to it",),
    about="A record ends with the SHA-256 of everything else in it. The two no longer agree, so something in the line"
    " was changed after it was written.",
    severity="doubt",
    about_files=True,
)
CHAIN = Code(
    "K613",
    "a record that does not follow the one before it",
    "record {number} follows a record with the digest {stated}; the one before it has {found}",
    ("put back the register from a copy, and ask who could write to it",),
    about="Each record names the digest of the one before it. Here a record was taken out, put in, moved or written"
    " anew.",
    severity="doubt",
    about_files=True,
)
NUMBER = Code(
    "K614",
    "a record with the number of another",
    "the record has the number {found}; it is number {expected}",
    ("put back the register from a copy, and ask who could write to it",),
    about="Records are numbered by their lines, from 1.",
    severity="doubt",
    about_files=True,
)
VERDICT_CHANGED = Code(
    "K615",
    "a verdict that was changed",
    "the verdict of record {number} has the digest {found}, and the record says {stated}",
    ("put back the register from a copy, and ask who could write to it",),
    about="A record holds a verdict and the SHA-256 of it. The two do not agree, though the record as a whole does: it"
    " was not written by standfast.",
    severity="doubt",
    about_files=True,
)
OTHER_RULED = Code(
    "K616",
    "a ruling on what is no verdict of this register",
    "the ruling of record {number} is on record {of} with the digest {stated}; there is no such verdict before it",
    ("put back the register from a copy, and ask who could write to it",),
    about="A ruling names the number and the digest of the verdict's record, which stands before it.",
    severity="doubt",
    about_files=True,
)
NOTED_GONE = Code(
    "K617",
    "a record that is not there any more",
    "no record has the digest {digest}",
    ("put back the register from a copy, and ask who could write to it",),
    about="The digest of a record was noted when it was kept. No record of the register has it, so the record was"
    " changed or taken out.",
    severity="doubt",
    about_files=True,
)
COPY_GONE = Code(
    "K621",
    "a copy that is not there any more",
    "the copy of {what}, `{file}`, cannot be read: {why}",
    ("put back the folder from a copy",),
    about="A folder of records keeps a copy of every standard and log, named by its SHA-256. Without it the verdict"
    " can be given again only where the file itself still lies where it was.",
    severity="doubt",
    about_files=True,
)
COPY_CHANGED = Code(
    "K622",
    "a copy that was changed",
    "the copy of {what}, `{file}`, is no longer what was graded: its digest is {found}",
    ("put back the folder from a copy, and ask who could write to it",),
    about="A folder of records keeps a copy of every standard and log, named by its SHA-256. This one has another now."
    " Where the file itself still lies where it was and is unchanged, the spot is the first that differs.",
    severity="doubt",
    about_files=True,
)
FILE_CHANGED = Code(
    "K623",
    "a file that was changed since it was graded",
    "{what} is no longer what was graded for record {number}: its digest is {found}, and the record says {stated}",
    ("compare it with the copy `{copy}`; a changed standard needs an edition and a file of its own",),
    about="The file of a standard or a log still lies where it was, and is another than the one the verdict was given"
    " on. Where the copy kept beside the register is unchanged, the spot is the first that differs.",
    severity="doubt",
    about_files=True,
)
OTHER_VERDICT = Code(
    "K631",
    "a verdict that comes out otherwise",
    "record {number}, candidate `{candidate}`, session `{session}`: graded again, {changes}",
    ("the record was made by standfast {then}, and this is {now}: look for the change among those of the versions",
     "keep the record, and report this with the copies of the standard and the log"),
    about="The standard and the log are unchanged, and grading them again gives another verdict than the record holds.",
    severity="doubt",
    about_files=True,
)  # fmt: skip
NOT_GRADED = Code(
    "K632",
    "a verdict that cannot be given again",
    "record {number}, candidate `{candidate}`, session `{session}`: it cannot be graded again: {why}",
    ("put back the folder from a copy, or grade by the version of standfast that the record names",),
    about="Without the standard and the log as they were, or where this version of standfast refuses one of them,"
    " nothing can be said about the verdict.",
    severity="doubt",
    about_files=True,
)
NO_SUCH_RECORD = Code(
    "K641",
    "a ruling on a record that is not there",
    "no verdict with the record number {number} in `{name}`",
    ("record {number} is {found}: rule on the verdict", "`standfast register {command}` lists the verdicts with their numbers"),
    about="A ruling is added beside the verdict of one record, by the number of that record.",
)  # fmt: skip
