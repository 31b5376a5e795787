"""The rule language and the two engines that run it."""
