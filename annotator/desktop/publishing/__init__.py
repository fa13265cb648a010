"""The page on which files are published, and what came of it."""
