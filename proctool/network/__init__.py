"""The energy network of a unit: what reaches what. On model/ only."""
