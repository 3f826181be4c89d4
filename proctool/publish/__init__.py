"""What is written, and how: whole files, put in place at once."""
