"""New or changed plans, proven before they are shown."""
