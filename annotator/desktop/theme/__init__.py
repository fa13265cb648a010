"""Colours, type, icons and shapes: how every part of the window looks."""
