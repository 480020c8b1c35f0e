"""What the keeper of a store changed in the catalogue: what it is, how it is checked, and the table it travels in."""
