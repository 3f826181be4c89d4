"""Results kept between runs: sealed, bounded, harmless to delete."""
