"""What a proof-reader finds in one standard: a module for each kind of finding, a small function for each."""
