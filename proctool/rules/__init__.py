"""Rules: what each asks, how it is told, and the verdict that follows."""
