"""Measures of proctool: how fast it is, and how much it finds."""
