"""Parts and copies of recordings: clips, stills, a copy with chapters."""
