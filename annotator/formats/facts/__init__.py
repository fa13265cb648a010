"""Lists of the facts that may be said of a case."""
