"""What is done, bought and watched once the choice stands."""
