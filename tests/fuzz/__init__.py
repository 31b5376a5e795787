"""Input that nobody would give on purpose, drawn from what people do give: `python -m tests.fuzz`."""
