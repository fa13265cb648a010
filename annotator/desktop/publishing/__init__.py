"""The page on which files are published, and the result."""
