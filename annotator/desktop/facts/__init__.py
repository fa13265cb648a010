"""The facts of the open case."""
