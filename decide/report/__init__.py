"""Advice → text, page, notes, calendar and tables, all from the same rows."""
