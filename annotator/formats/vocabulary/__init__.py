"""Vocabularies as SKOS, YAML and CSV."""
