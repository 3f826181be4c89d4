"""New files: what opens parts of a unit safely, worked out from its network, and files to start from."""
