"""Buttons, labels, fields, notices and questions that every part of the window is made of."""
