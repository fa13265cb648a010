"""Buttons, labels, fields, notices and questions for every part of the window."""
