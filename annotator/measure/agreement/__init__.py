"""How far two or more people's tags of one recording agree. Definitions and sources: docs/measures.md."""
