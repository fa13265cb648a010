"""A macular hole is covered with a flap of the inner limiting membrane."""
