"""Files that can be made again, kept from one time to the next."""
