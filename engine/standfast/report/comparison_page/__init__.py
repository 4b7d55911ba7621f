"""The page of a revision: what an auditor puts on file.

`page` says in values what stands on it, `html` makes it.
"""
