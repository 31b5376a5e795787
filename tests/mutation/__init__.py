"""Wrong rules, numbers and code planted one by one, and what of them the cases and tests notice."""
