"""The case bank, and what moved between two folders of knowledge."""
