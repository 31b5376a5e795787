"""From judged options to a decision: grades with bounds, the order, the programme, what fits, and the fate of
the date.
"""
