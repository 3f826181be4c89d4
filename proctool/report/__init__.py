"""Findings and verdicts as text for a terminal or as JSON; one module per format."""
