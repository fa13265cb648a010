"""Score sheets, and the scores that stand beside a case."""
