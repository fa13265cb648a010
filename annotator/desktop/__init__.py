"""The window: the only room that knows Qt. Thin views over one session, joined by a controller without widgets."""
