"""Parts of the advice that stand by themselves: the fate of the date, and what is done meanwhile."""
