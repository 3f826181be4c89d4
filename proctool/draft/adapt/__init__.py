"""A procedure carried over to another unit."""
