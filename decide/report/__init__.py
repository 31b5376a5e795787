"""Advice → text and Markdown, from one list of blocks."""
