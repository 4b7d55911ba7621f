"""Codes of finding and opening files, and of finding the standard a log was kept under."""

from standfast.codes.code import Code

MISSING = Code(
    "F501",
    "no such file",
    "`{name}` is not there",
    ("check the name and the folder",),
    about="No file or folder of this name was found. Names are taken from the folder the command is given in.",
)
UNREADABLE = Code(
    "F502",
    "a file cannot be read",
    "`{name}` cannot be read: {why}",
    ("check that you may read it and that it is an ordinary file",),
    about="The file or folder is there but could not be opened. The reason given is the operating system's.",
)
NO_LOGS = Code(
    "F503",
    "a folder without logs",
    "no log in the folder `{name}`, nor in those inside it",
    (
        "the names of logs end in `.jsonl` or `.csv`, packed ones in `.gz` or `.zip`; name other files by themselves",
    ),
    about="A folder given to `grade` is searched, with the folders inside it, for session logs.",
)
NO_STANDARDS = Code(
    "F504",
    "a folder without standards",
    "no standard in the folder `{name}`, nor in those inside it",
    ("the names of standards end in `.standard`; name a file of another ending by itself",),
    about="A folder given as a place of standards is searched, with the folders inside it, for rule files.",
)
NOT_UTF8 = Code(
    "F505",
    "a standard that is not UTF-8",
    "the byte {byte} is not UTF-8 text",
    ("save the file as UTF-8 (an editor may call it `Unicode` or `encoding`)",),
    about="Standards are text in UTF-8. The spot is the first byte that is not; everything before it is.",
)
BINARY = Code(
    "F506",
    "a file that is not text",
    "`{name}` is not a text file",
    ("name a text file; save one that is UTF-16 as UTF-8",),
    about="The file begins with bytes of which some are nought, which no text in UTF-8 has: it is a word"
    " processor's document, an archive or a picture, or a text saved as UTF-16.",
)
UNKNOWN_STANDARD = Code(
    "F507",
    "a log under an unknown standard",
    "the log was kept under `{name}`, and no standard of that name is in {places}",
    (
        "if `{near}` is meant, correct the header, or name the standard's file or folder with --standard",
        "name the standard's file or folder with --standard",
    ),
    about="The header of a log names its standard. The standard is looked for in the files and folders given with"
    " --standard, or without one among the standards that come with standfast.",
)
UNKNOWN_EDITION = Code(
    "F508",
    "a log under an unknown edition",
    "the log was kept under edition `{edition}` of `{name}`; found {editions} in {places}",
    ("name the file of that edition with --standard",),
    about="The edition in a log's header decides by which edition it is graded, and no other edition takes its"
    " place.",
)
NOT_YET_IN_FORCE = Code(
    "F509",
    "an edition not yet in force",
    "the log was kept under edition `{edition}` of `{name}`, in force from {since}, and started on {date}",
    ("correct the edition or the date in the log's header",),
    about="An edition cannot be the standard of a session on a day before the one it is in force from. The day is"
    " that of `started`, as written there.",
)
NONE_IN_FORCE = Code(
    "F510",
    "no edition in force",
    "no edition of `{name}` was in force on {date}; found {editions} in {places}",
    ("name the edition in the log's header, or the file of an older one with --standard",),
    about="A log without an edition is graded by the latest edition in force on the day of `started`.",
)
WHICH_EDITION = Code(
    "F511",
    "a log that may be of several editions",
    "the log does not say which edition of `{name}` it was kept under; found {editions} in {places}",
    ('add `"edition"` to the log\'s header, or `"started"` with the date and time of its zero',),
    about="A log without an edition is graded by the latest edition in force on the day of `started`. Without that"
    " either, or with two editions in force from the same day, nothing says which is meant.",
)
TWO_ALIKE = Code(
    "F512",
    "one edition in two files",
    "edition `{edition}` of `{name}` is in two files, `{first}` and `{second}`",
    ("name the one meant with --standard",),
    about="Two files hold the same edition of the same standard. Even where they agree today, nothing says which"
    " of them is the issued one.",
)
BROKEN_STANDARD = Code(
    "F513",
    "a log whose standard has errors",
    "the log was kept under `{name}`, and what may be that standard has errors: {files}",
    ("`standfast proof {command}` shows the errors to be corrected; this log was not graded",),
    about="A file of the wanted name that cannot be read may be the edition meant, so no other takes its place."
    " Where no other file could be meant, its errors are shown beside this one.",
)
UNNAMED_STANDARD = Code(
    "F514",
    "rule files that name no standard",
    "no name of a standard at the beginning of {files}",
    ('begin it with a line such as `standard NAME "Title"`, or take it out of the folder',),
    about="Nothing tells which standard such a file of a searched folder holds, so it may be the one a log was kept"
    " under. The logs are graded all the same, by the standards that do say what they are.",
)
UNWRITABLE = Code(
    "F515",
    "a file that cannot be written",
    "`{name}` cannot be written: {why}",
    ("name a place that you may write in",),
    about="A page, a boundary book or a record, or the folder for it, could not be written. The reason given is the"
    " operating system's. The other pages are written all the same; of records nothing was added.",
)
SAME_PAGES = Code(
    "F516",
    "two files of one edition to be briefed",
    "edition `{edition}` of `{name}` is in two files, `{first}` and `{second}`",
    ("give `brief` one of the two at a time",),
    about="Pages are named after the standard and its edition, so those of the second file would replace those of the"
    " first. Only the first file's pages are written.",
)
NOT_ITS_OWN = Code(
    "F517",
    "a folder with files of another origin",
    "`{folder}` has `{file}`, which is no file of this boundary book",
    ("take the file away, or name another folder with --write",),
    about="The book of an edition is kept in a folder of its own, named after the standard and the edition, with an"
    " index that lists its files. Files that the index does not list are never replaced or removed, so nothing was"
    " written.",
)
SAME_BOOK = Code(
    "F518",
    "two files of one edition to be rehearsed",
    "edition `{edition}` of `{name}` is in two files, `{first}` and `{second}`",
    ("give `rehearse` one of the two at a time",),
    about="A boundary book is kept under the name of the standard and its edition, so the book of the second file would"
    " replace that of the first. Only the first file's book is written.",
)
OTHER_KIND = Code(
    "F519",
    "a file of the other kind",
    "`{name}` is {found}, not {wanted}",
    ("grade it with `standfast grade {log}`", "give it after --standard, and the logs by themselves"),
    about="The names of standards end in `.standard`, those of session logs in `.jsonl` or `.csv`. A file of the one kind was"
    " given where the other is read.",
)
GRADED_BEFORE = Code(
    "F522",
    "a candidate graded twice in one session",
    "{who} in session `{session}` had a verdict already, from `{file}`",
    ("if one continues the other give --continued; else keep the log that counts, or correct the header of one",),
    about="Two logs of one session under one standard name the same candidate. Each is graded by itself, as if the"
    " other were not there: entries of the one are no part of the other, and nothing says which of the verdicts"
    " counts.",
    severity="doubt",
    about_files=True,
)
NOT_REPLACED = Code(
    "F520",
    "a rule file that cannot be replaced by its tidy form",
    "`{name}` cannot be rewritten: {why}",
    ("give yourself the right to write it, or tidy a copy",),
    about="The tidy text is written to a new file beside the old one, which then takes the old one's name in one move."
    " The new file could not be made or moved. The reason given is the operating system's. The old file is as it was.",
)
NOT_KEPT = Code(
    "F521",
    "a text whose tidy form would not say the same",
    "`{name}` was left alone: its tidy form would lose {lost}",
    ("this is a fault of standfast, not of the standard: please report it with this file",),
    about="Before a file is rewritten its tidy form is read again, and what it means and its comments are held against"
    " those of the file. They differ here, so nothing was written.",
)
CANNOT_BE_UNPACKED = Code(
    "F530",
    "a packed log that cannot be unpacked",
    "`{name}` cannot be unpacked: {why}",
    ("fetch or pack it anew, without a password, or name the log itself",),
    about="Logs may come packed, one in a gzip file or several in a zip archive. This one could not be unpacked, so"
    " nothing of it was read; the other logs are graded all the same.",
)
UNPACKS_TOO_LARGE = Code(
    "F531",
    "a packed log that unpacks to too much",
    "`{name}` is more than {limit} MB once unpacked",
    ("check where it comes from; unpack it yourself and name its logs if it is right",),
    about="No session log is so large: a small file that unpacks to a huge one was made to do harm, or is damaged."
    " Nothing of it beyond that size was read.",
)
NO_LOGS_IN_ARCHIVE = Code(
    "F532",
    "an archive without logs",
    "no log in the archive `{name}`",
    ("the names of logs end in `.jsonl` or `.csv`; save a spreadsheet's workbook as CSV",),
    about="A zip archive is searched for session logs by their names. The workbooks of spreadsheets and the documents of"
    " word processors are zip archives too.",
)
GRADING_BROKE_DOWN = Code(
    "F540",
    "a log at which grading broke down",
    "grading broke down at `{name}`",
    ("this is a fault of standfast, not of the log: please report it with this log",),
    about="The program that graded this log broke down or was ended by the system, perhaps for want of memory. The other"
    " logs are graded all the same.",
)
