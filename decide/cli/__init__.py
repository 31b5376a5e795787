"""Commands: one table, one reader of their words, and a module for each that does what it says."""
