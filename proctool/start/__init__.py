"""The files that `proctool new library` writes."""
