"""What people write and say, and the names that it means."""
