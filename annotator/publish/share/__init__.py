"""The folder to pass on: a page that plays, and what goes with it."""
