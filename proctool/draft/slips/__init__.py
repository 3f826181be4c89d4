"""What a step skipped, done early or done twice would lead to."""
