"""The oracle: a second, deliberately naive judge of procedures.

It shares no code with the package.  ``walker`` walks every order of a procedure one by one and says
what goes wrong on the way; ``cases`` makes small seeded units and procedures to try both judges on;
``python -m tests.oracle`` holds the package against the walker.
"""
