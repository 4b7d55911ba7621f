"""What `trial.py` does, one module a subcommand, and the pairs of standard and log that they share."""
