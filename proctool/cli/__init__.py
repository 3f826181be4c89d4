"""The command line: arguments in, the public API called, the report printed, an exit code out."""
