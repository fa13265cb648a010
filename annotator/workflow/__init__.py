"""Verbs that need several rooms at once, the same for the command line and the window."""
