"""Long work in the background: threads, progress bars, cancel."""
