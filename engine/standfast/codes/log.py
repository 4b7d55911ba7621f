"""Codes of this stage."""

from standfast.codes.code import Code
