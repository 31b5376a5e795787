"""What each section of a page says: advice → blocks."""
