"""A second opinion from an answer-set solver.

The rules of the proof are written once more, for the solver clingo, from the specification alone: neither
the proof nor the network of the package is used, nor the plain walk of ``tests/oracle``.  The solver looks
for an order of the steps that breaks a rule, and so judges problems that are too large to enumerate.
"""
