"""Texts of procedures as written, their sentences, and the words of the language they are written in."""
