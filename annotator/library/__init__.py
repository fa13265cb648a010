"""A folder tree of cases as a whole: what is in it, found quickly, never written to."""
