"""Values and pure functions; no file, no window, no video library is known here."""
