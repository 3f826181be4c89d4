"""The lowest layer: places, findings, quantities, words, and the result type of every stage.

Everything here is immutable and pure: no files, no clock, nothing imported from the rest of proctool.
"""
