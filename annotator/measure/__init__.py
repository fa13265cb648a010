"""Case in, numbers out: durations, chapters, checks. Pure: no file, no window."""
