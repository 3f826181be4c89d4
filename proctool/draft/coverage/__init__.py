"""What keeps each energy from each opened part, by which step, over every order."""
