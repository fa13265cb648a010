"""Numbers over many cases. Definitions and sources: docs/measures.md."""
