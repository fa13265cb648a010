"""The case file and its journal."""
