"""Draws an invented wet-lab vitrectomy on a model eye: pictures, sound, true step times and a narration.

Every frame is a function of its time alone, so that any frame can be drawn on its own and twice the same.
"""
