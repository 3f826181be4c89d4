"""The pages around the manuals: the first page with its search, a page for each unit, the rules.

All lie beside one another in one folder, with addresses relative to it, so that they work from a file path
and from any server. A dot stands in the name of each, which no procedure has: none hides the manuals of one.
"""
