"""What to ask next, and what an answer would change."""
