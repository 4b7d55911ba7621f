"""Fuzzing guided by coverage: what a reader must hold to, what a fuzzer starts from, and its running."""
