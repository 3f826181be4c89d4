"""proctool: service procedures as data, with a proof that no order of their steps hurts anyone.

A library is a folder of YAML files: units (energies, parts, lines) and procedures (graphs of steps). The tool
resolves a procedure for a unit, proves over every order the steps allow that nothing is opened live, charged,
unverified or unlocked, judges texts and tables by rules with sources, and writes manuals as HTML and PDF.
"""

__version__ = "0.1.0"
