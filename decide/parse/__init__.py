"""What people say, read: amounts, dates, choices, places, uses and proposals in plain words."""
