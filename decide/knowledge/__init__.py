"""The knowledge folder: its rows, reading, checking, compiling to rules, and its words."""
