"""Plays the recordings of a case as one, to the frame, forwards and backwards."""
