"""Every command as data, its keys, and finding one by name."""
