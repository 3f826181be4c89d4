"""Formula to rows."""
