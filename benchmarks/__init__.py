"""What the proof costs: instance families with seeds and names, and tables of numbers measured in one run."""
