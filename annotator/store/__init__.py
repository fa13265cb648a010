"""Paths and durability: the one gate for changes, its journal, lock and recovery."""
