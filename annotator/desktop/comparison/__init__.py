"""Another person's tags of the same recording beside those of the open case."""
