"""Tag the steps of a surgical recording; export chapters and a summary of step durations."""

__version__ = "0.1.0"
