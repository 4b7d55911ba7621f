"""Codes of reading and meaning for rounding: R17x, M310."""

from standfast.codes.code import Code

_ABOUT = (
    "Rounding says its way: `up` to the next step unless exact, `down`, or `nearest`. For the middle between two steps there "
    "are two rules, and both are in use (ISO 80000-1, annex B): `ties up`, and `ties to even`, the even step. So "
    "`nearest` says which."
)
NO_SUCH_WAY = Code(
    "R170",
    "unknown way of rounding",
    "`{found}` is no way of rounding",
    ("did you mean `{near}`?", "write `rounded up to`, `rounded down to` or `rounded nearest to`"),
    _ABOUT,
)
NO_TIES = Code(
    "R171",
    "nearest without ties",
    "`{rounded}` does not say where the middle between two steps goes",
    ("write `{rounded}, ties up` or `{rounded}, ties to even`",),
    _ABOUT,
)
NO_SUCH_TIES = Code(
    "R172",
    "unknown rule for ties",
    "found `{found}` after `{rounded}`",
    ("write `{rounded}, ties up` or `{rounded}, ties to even`",),
    _ABOUT,
)
TIES_OF_NO_USE = Code(
    "R173",
    "ties where there are none",
    "`{rounded}` has no ties",
    ("take them away: rounding up or down always knows its way",),
    _ABOUT,
)
