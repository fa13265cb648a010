"""The start screen, opening, and putting recordings in order."""
