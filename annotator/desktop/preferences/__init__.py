"""What the user has set, and what the program remembers."""
