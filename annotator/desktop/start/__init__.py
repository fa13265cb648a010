"""The first screen, opening, and putting recordings in order."""
