"""Manuals: a plan and its proof become a view, the view becomes one HTML page or one PDF.

`view` decides everything a reader sees, words and numbers included; the templates only set it out.
"""
