"""Files opened with bounds: what they are, which tracks they hold, their packets and chapters."""
