"""The settings page, and the part of it for keys."""
