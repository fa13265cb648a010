"""The program's own pages, readable in the window and without a network."""
