"""Timed text: WebVTT, SubRip, and chapters for a container."""
